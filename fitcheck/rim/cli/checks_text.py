"""What was looked at again and what came of it, as every `prove` prints it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fitcheck.rim.files.answer_json import Json
    from fitcheck.things.proved import Check


def checks_json(checks: Sequence[Check]) -> Json:
    """Return what holds and what does not."""
    return {
        "checked": [check.what for check in checks if check.holds],
        "not_so": [check.what for check in checks if not check.holds],
    }


def checks_lines(checks: Sequence[Check]) -> list[str]:
    """Return a line for each."""
    return [f"  {'so    ' if check.holds else 'NOT SO'}  {check.what}" for check in checks]
