"""A tank as it was built, in the words of the shop."""

from __future__ import annotations

from fitcheck.questions.as_built.answer import AsBuilt, Change
from fitcheck.say.lines import aligned, cautions_text
from fitcheck.things.shop import Shop
from fitcheck.words.units import Show, show_area, show_length, show_volume


def text(answer: AsBuilt, shop: Shop) -> str:
    """Return the answer as text: the sizes in one line, the fit, lines for the shop file, what changes."""
    show = shop.show
    was, now = (
        " x ".join(show_length(side, show) for side in tank.size_mm[:2])
        for tank in (answer.tank, answer.corrected)
    )
    changed = [change for change in answer.changes if change.is_one]
    told = [(change.part, _told(change, show)) for change in changed]
    blocks = [
        f"{answer.tank.name}: {now} in plan as built, {was} as taped",
        "\n".join(aligned(_fit(answer, show))),
        f"Put into the shop file:\n\n{answer.card}",
        f"{len(changed)} of {len(answer.changes)} answers change",
        "\n".join(aligned(told)),
        cautions_text(answer.cautions, show),
    ]
    return "\n\n".join(block for block in blocks if block)


def _fit(answer: AsBuilt, show: Show) -> list[tuple[str, str]]:
    """Return what the readings say of the plan, and each reading with what is left of it."""
    area, error = show_area(answer.floor_mm2, show), show_area(answer.floor_error_mm2, show)
    rows = [
        ("Plan", f"{area} at the floor, give or take {error} (one standard error)"),
        ("Bow", _bow(answer, show)),
    ]
    if answer.misfit is not None:
        word = "as stated" if answer.misfit <= 2.0 else "more than was stated: look for a slip"
        rows.append(("Readings", f"scatter by {answer.misfit:.1f} of the stated error, {word}"))
    for reading, left in zip(answer.readings, answer.left_l, strict=True):
        level, litres = show_length(reading.level_mm, show), show_volume(reading.liquid_l, show)
        rows.append(("", f"{level}: {litres}, {show_volume(left, show)} over the fit"))
    return rows


def _bow(answer: AsBuilt, show: Show) -> str:
    error = show_length(answer.bow_error_mm, show)
    if len(answer.readings) < 3:
        return "three levels or more would show it"
    if not answer.shows_bow:
        return f"none to be seen in these readings (standard error {error})"
    wider = show_length(answer.bow_mm, show)
    return f"{wider} wider at the highest level read than at the floor, give or take {error}"


def _told(change: Change, show: Show) -> str:
    words = (
        change.verdict
        if change.verdict == change.verdict_was
        else f"{change.verdict_was}, now {change.verdict}"
    )
    if change.level_mm is None or change.liquid_l is None:
        return words
    now = f"{show_length(change.level_mm, show)} of liquid, {show_volume(change.liquid_l, show)}"
    if change.level_was_mm is None or change.liquid_was_l is None:
        return f"{words}: {now}"
    was = f"{show_length(change.level_was_mm, show)}, {show_volume(change.liquid_was_l, show)}"
    return f"{words}: {now} instead of {was}"
