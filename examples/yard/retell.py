"""Ask every question of the README beside this script, and of the guides, again; write what is answered now.

Run it in the repository's folder: `python examples/yard/retell.py`. On those pages a block of ```console has
one command and the lines of its answer that are worth showing, `...` where lines are left out.
"""

from __future__ import annotations

import contextlib
import difflib
import io
import re
import shlex
import shutil
import tempfile
from pathlib import Path

from fitcheck.cli.main import run

HERE = Path(__file__).resolve().parent
README = HERE / "README.md"
PAGES = (README, *sorted((HERE.parent / "guides").glob("*.md")))
BLOCK = re.compile(r"(?<=^```console\n)\$ (?P<command>.*)\n(?P<answer>(?:.*\n)*?)(?=^```$)", re.MULTILINE)
LEFT_OUT = "..."
# A line that is less like every line of the new answer has gone from it.
ALIKE = 0.5


def retold(text: str) -> str:
    """Return a page's text with every answer as it is now; commands run in a copy of the yard."""
    with tempfile.TemporaryDirectory() as made:
        yard = shutil.copytree(HERE, Path(made) / "yard")
        return BLOCK.sub(lambda block: _retold(block, yard), text)


def _retold(block: re.Match[str], yard: Path) -> str:
    lines = answered(block["command"], yard)
    kept = []
    for line in block["answer"].splitlines():
        if line != LEFT_OUT:
            alike = difflib.get_close_matches(line, lines, n=1, cutoff=ALIKE)
            if not alike:
                raise SystemExit(f"{block['command']}: its answer has no line like this any more: {line}")
            lines = lines[lines.index(alike[0]) + 1 :]
        kept.append(alike[0] if line != LEFT_OUT else line)
    return "\n".join([f"$ {block['command']}", *kept, ""])


def answered(command: str, yard: Path = HERE) -> list[str]:
    """Return the lines that a command writes when it is run in the yard's folder, or in a copy of it."""
    said = io.StringIO()
    with contextlib.chdir(yard), contextlib.redirect_stdout(said):
        run(shlex.split(command)[1:])
    return said.getvalue().splitlines()


if __name__ == "__main__":
    for page in PAGES:
        page.write_text(retold(page.read_text(encoding="utf-8")), encoding="utf-8")
