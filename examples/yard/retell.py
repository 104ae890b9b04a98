"""Ask every question of the README beside this script again, and write what is answered now.

Run it in the repository's folder: `python examples/yard/retell.py`. In the README a block of ```console has
one command and the lines of its answer that are worth showing, `...` where lines are left out.
"""

from __future__ import annotations

import contextlib
import difflib
import io
import re
import shlex
from pathlib import Path

from fitcheck.rim.cli.main import run

HERE = Path(__file__).resolve().parent
README = HERE / "README.md"
BLOCK = re.compile(r"(?<=^```console\n)\$ (?P<command>.*)\n(?P<answer>(?:.*\n)*?)(?=^```$)", re.MULTILINE)
LEFT_OUT = "..."
# A line that is less like every line of the new answer has gone from it.
ALIKE = 0.5


def retold(text: str) -> str:
    """Return the README's text with every answer as it is now."""
    return BLOCK.sub(_retold, text)


def _retold(block: re.Match[str]) -> str:
    lines = answered(block["command"])
    kept = []
    for line in block["answer"].splitlines():
        if line != LEFT_OUT:
            alike = difflib.get_close_matches(line, lines, n=1, cutoff=ALIKE)
            if not alike:
                raise SystemExit(f"{block['command']}: its answer has no line like this any more: {line}")
            lines = lines[lines.index(alike[0]) + 1 :]
        kept.append(alike[0] if line != LEFT_OUT else line)
    return "\n".join([f"$ {block['command']}", *kept, ""])


def answered(command: str) -> list[str]:
    """Return the lines that a command writes when it is run in the yard's folder."""
    said = io.StringIO()
    with contextlib.chdir(HERE), contextlib.redirect_stdout(said):
        run(shlex.split(command)[1:])
    return said.getvalue().splitlines()


if __name__ == "__main__":
    README.write_text(retold(README.read_text(encoding="utf-8")), encoding="utf-8")
