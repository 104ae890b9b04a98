"""Words set in lines no longer than a page is wide."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from fitcheck.say.cautions import sentences
from fitcheck.say.width import page_width
from fitcheck.things.caution import Caution
from fitcheck.words.units import Show


def cautions_text(cautions: Iterable[Caution], show: Show) -> str:
    """Return cautions as a list, or nothing where there is none."""
    lines = [folded(line, "- ", "  ") for line in sentences(cautions, show)]
    return "\n".join(["Cautions:", *lines]) if lines else ""


def aligned(rows: list[tuple[str, str]]) -> list[str]:
    """Return labels and texts in two columns, the second one folded."""
    width = max((len(label) for label, _ in rows), default=0) + 2
    return [folded(text, label.ljust(width), " " * width) for label, text in rows]


def folded(text: str, first: str = "", others: str = "") -> str:
    """Return a text in lines no longer than a page, or the terminal, is wide."""
    return "\n".join(
        textwrap.wrap(
            text, page_width(), initial_indent=first, subsequent_indent=others, break_on_hyphens=False
        )
    )
