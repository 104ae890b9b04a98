"""More than one pass, in the words of the shop."""

from __future__ import annotations

from fitcheck.rim.cli.dip_text import aligned, cautions_text, folded
from fitcheck.rim.cli.hanging import hanging, heights
from fitcheck.things.part import Part
from fitcheck.things.passes import Pass, PassAnswer, Window
from fitcheck.words.rounding import at_least, at_most, some
from fitcheck.words.units import Show, show_angle, show_length, show_volume

TURN_WORDS = {
    "same face up": "turned end for end, the same face up",
    "upside down": "turned end for end and over, the other face up",
    "rolled over": "rolled over about its length, its ends left where they are",
}


def pass_text(answer: PassAnswer, part: Part, show: Show) -> str:
    """Return the answer as text: the verdict in one line, then each pass, then the cautions."""
    rows = [row for k, each in enumerate(answer.passes) for row in _pass_rows(k, each, part, show)]
    if answer.turn is not None:
        rows.append(("Between", TURN_WORDS[answer.turn]))
    if answer.overlap_mm is not None:
        rows.append(("Overlap", _overlap(answer.overlap_mm, show)))
    rows.append(("Wet in all", f"{answer.covered:.1%} of the surface"))
    rows += [("Two passes do", _window(window)) for window in answer.windows]
    blocks = [
        _verdict_line(answer),
        folded(answer.reason),
        "\n".join(aligned(rows)),
        cautions_text(answer.cautions),
    ]
    return "\n\n".join(block for block in blocks if block)


def _verdict_line(answer: PassAnswer) -> str:
    name, count = f"{answer.part} in {answer.tank}", len(answer.passes)
    passes = "one pass" if count == 1 else "two passes"
    if answer.verdict == "fits":
        proven = " (one is proven not to do)" if count == 2 and answer.at_least == 2 else ""
        return f"{name}: {passes}{proven}"
    if answer.verdict == "measure again":
        return f"{name}: measure again, the tapes decide whether {passes} will do"
    return f"{name}: not found, no one or two passes that wet all of it"


def _pass_rows(k: int, each: Pass, part: Part, show: Show) -> list[tuple[str, str]]:
    down, liquid = show_length(each.fill.from_rim_mm, show), show_volume(each.fill.liquid_l, show)
    return [
        (f"Pass {k + 1}", hanging(each.pose, part, show)),
        ("", heights(each.pose, part, show)),
        ("", f"liquid {down} down from the rim, {liquid}"),
        ("", f"wets {each.covers:.1%} of the surface"),
    ]


def _overlap(overlap_mm: float, show: Show) -> str:
    if overlap_mm < 0.0:
        return f"none: {at_most(-overlap_mm, show)} stay dry between the two"
    return f"{at_least(overlap_mm, show)} at least, treated twice" if overlap_mm else some(overlap_mm, show)


def _window(window: Window) -> str:
    return (
        f"let all the way down and tilted {show_angle(window.low_rad)} to {show_angle(window.high_rad)}, "
        f"{TURN_WORDS[window.turn]} (by the sizes as given)"
    )
