"""A set of sheets on the disk: written whole or not at all, and never over a file of somebody else."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from tempfile import TemporaryFile

from fitcheck.files.written import write_all
from fitcheck.sheet.paper import Laid
from fitcheck.words.errors import Fault, InputFault, Refused

NAMES = ("sheet.pdf", "sheet.html")


def check_folder(folder: Path) -> None:
    """Refuse a folder that cannot take a set, before any work is done; raises `InputFault`.

    A folder that is not there is made and taken away again, in one that is there a draft.
    """
    try:
        _try(folder)
    except OSError as fault:
        cure = "free the place or name another folder"
        why = fault.strerror or fault
        raise InputFault([Fault("--to", f"{folder} cannot be written to ({why})", cure)]) from fault


def _try(folder: Path) -> None:
    faults = []
    if folder.exists() and not folder.is_dir():
        faults.append(Fault("--to", f"{folder} is a file", "name a folder"))
    elif not folder.exists() and not folder.parent.is_dir():
        faults.append(Fault("--to", f"there is no folder {folder.parent}", "make it first or name another"))
    else:
        faults += [
            Fault(
                "--to",
                f"{path} is there and is no sheet of fitcheck's",
                "move it away or name another folder",
            )
            for path in (folder / name for name in NAMES)
            if path.exists() and not _is_ours(path)
        ]
    if faults:
        raise InputFault(faults)
    if folder.exists():
        with TemporaryFile(dir=folder):
            return
    folder.mkdir()
    folder.rmdir()


def write_set(folder: Path, pages: Sequence[Laid], title: str) -> tuple[Path, ...]:
    """Write a set as PDF and HTML into a folder, made where it is not there; return the files.

    Both are written beside their places first; where one of them cannot be, neither is put there. Raises
    `InputFault` as `check_folder` does, and where the disk does not take them.
    """
    from fitcheck.sheet.pdf import pdf_of
    from fitcheck.sheet.web import html_of

    contents = (pdf_of(pages, title), html_of(pages, title).encode("utf-8"))
    check_folder(folder)
    files = tuple(folder / name for name in NAMES)
    try:
        folder.mkdir(exist_ok=True)
        write_all(dict(zip(files, contents, strict=True)))
    except OSError as fault:
        problem = f"{folder} cannot be written to ({fault.strerror})"
        raise InputFault([Fault("--to", problem, "free the place or name another folder")]) from fault
    except Refused as fault:
        raise InputFault([Fault("--to", fault.problem, fault.cure)]) from fault
    return files


def _is_ours(path: Path) -> bool:
    """Whether a file says that it was made here."""
    from fitcheck.sheet.pdf import MADE_BY

    return path.is_file() and MADE_BY.encode() in path.read_bytes()
