"""Atomic writing of files, whole or not at all: every file that fitcheck writes is written by these."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory

from fitcheck.words.errors import Refused

# Drafts and folders of this process that are not finished.
_UNFINISHED: set[Path] = set()


@contextmanager
def whole(path: Path) -> Iterator[Path]:
    """Give a path beside `path` to write to; what was written there goes to `path` in one step.

    Where the block ends by a fault, or by Ctrl-C, nothing is left beside `path`, and what was at `path`
    before is still there. A link at `path` is written over, and not what it points to. Raises `Refused`
    where the folder does not exist or the disk does not take it.
    """
    check_place(path)
    draft = path.with_name(f".{os.getpid()}-{path.name}")
    _UNFINISHED.add(draft)
    try:
        yield draft
        if path.exists():
            shutil.copymode(path, draft)
        draft.replace(path)
    except OSError as fault:
        problem = f"{path}: cannot be written ({fault.strerror or fault})"
        raise Refused(problem, "free the place or name another") from fault
    finally:
        draft.unlink(missing_ok=True)
        _UNFINISHED.discard(draft)


@contextmanager
def scratch_folder() -> Iterator[Path]:
    """Give a folder for a while, elsewhere; it goes away with all that is in it."""
    with TemporaryDirectory() as name:
        _UNFINISHED.add(Path(name))
        try:
            yield Path(name)
        finally:
            _UNFINISHED.discard(Path(name))


def clear_away() -> None:
    """Take away what this process has begun to write and not finished: it is being stopped."""
    for path in _UNFINISHED:
        with suppress(OSError):
            shutil.rmtree(path) if path.is_dir() else path.unlink(missing_ok=True)


def check_place(path: Path) -> None:
    """Refuse a path at which no file can be written, before any work is done for it."""
    if not path.parent.is_dir():
        raise Refused(f"{path}: there is no folder {path.parent}", "make the folder first or name another")
    if path.is_dir():
        raise Refused(f"{path}: is a folder", "give the name of a file")
    if path.exists() and not os.access(path, os.W_OK):
        raise Refused(f"{path}: may not be written over", "name another file")
    if not os.access(path.parent, os.W_OK):
        raise Refused(f"{path}: the folder {path.parent} may not be written to", "name another folder")


def write_bytes(path: Path, content: bytes) -> None:
    """Write a file as `whole` does."""
    with whole(path) as draft:
        draft.write_bytes(content)


def write_text(path: Path, text: str) -> None:
    """Write a text, in UTF-8, as `whole` does."""
    write_bytes(path, text.encode("utf-8"))


def write_all(contents: Mapping[Path, bytes]) -> None:
    """Write several files; where one of them cannot be written, none is put in its place."""
    with ExitStack() as places:
        for path, content in contents.items():
            places.enter_context(whole(path)).write_bytes(content)
