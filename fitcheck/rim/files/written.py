"""Writing files whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

from fitcheck.words.errors import Refused


def write_text(path: Path, text: str) -> None:
    """Write a text: first beside the file, then in its place in one step.

    Raises `Refused` where the folder does not exist or the disk does not take it; what was at `path` before
    is then still there.
    """
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: Path, content: bytes) -> None:
    """Write a file as `write_text` does."""
    if not path.parent.is_dir():
        raise Refused(f"{path}: there is no folder {path.parent}", "make the folder first or name another")
    if path.is_dir():
        raise Refused(f"{path}: is a folder", "give the name of a file")
    written = path.with_name(f".{os.getpid()}-{path.name}")
    try:
        written.write_bytes(content)
        written.replace(path)
    except OSError as fault:
        raise Refused(f"{path}: cannot be written ({fault})", "free the place or name another") from fault
    finally:
        written.unlink(missing_ok=True)
