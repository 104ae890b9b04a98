"""What a bath takes, in the words of the shop; every default with where it comes from."""

from __future__ import annotations

from fitcheck.questions.mix.answer import Carried, MixAnswer
from fitcheck.say.lines import aligned, cautions_text
from fitcheck.things.liquid import Recipe
from fitcheck.things.shop import Shop
from fitcheck.words.units import MM2_PER_M2, Show, show_area, show_length, show_mass, show_volume


def text(answer: MixAnswer, shop: Shop) -> str:
    """Return the answer as text: what goes in, in one line, then what is bought, lost and rinsed."""
    made, recipe, show = answer.make_up, answer.recipe, shop.show
    blocks = [
        _first_line(answer, show),
        "\n".join(aligned([*_buying(answer, recipe, show), ("Water", show_volume(made.water_l, show))])),
        "\n".join(aligned(_losses(answer, recipe, show))),
        "\n".join(aligned(_rinsing(answer, recipe, show))),
        "\n".join(aligned([("Left out", f"{part}: {reason}") for part, reason in answer.left_out])),
        cautions_text(answer.cautions, show),
    ]
    return "\n\n".join(block for block in blocks if block)


def _first_line(answer: MixAnswer, show: Show) -> str:
    level, liquid = show_length(answer.level_mm, show), show_volume(answer.liquid_l, show)
    made = answer.make_up
    name = f"{answer.tank}, {level} of {answer.liquid}: {liquid}"
    if made.concentrate_l is not None:
        parts = f"{show_volume(made.concentrate_l, show)} of concentrate"
        return f"{name}, {parts} and {show_volume(made.water_l, show)} of water"
    if made.concentrate_kg is not None:
        return f"{name}, {show_mass(made.concentrate_kg, show)} of concentrate, water up to the line"
    return name


def _buying(answer: MixAnswer, recipe: Recipe, show: Show) -> list[tuple[str, str]]:
    made = answer.make_up
    if made.strength is None:
        return [("Make-up", f'not known: write make_up = "1:9" under [liquids.{answer.liquid}]')]
    by_volume = made.concentrate_l is not None
    amount = show_volume(made.concentrate_l or 0.0, show) if by_volume else ""
    amount = amount or show_mass(made.concentrate_kg or 0.0, show)
    top_up = show_volume(made.top_up_l or 0.0, show) if by_volume else show_mass(made.top_up_kg or 0.0, show)
    rows = [("Concentrate", f"{amount} to make up, {top_up} to top up for the drag-out")]
    if made.containers is None or made.left_over is None:
        return [*rows, ("Buy", f"container is not known: write it under [liquids.{answer.liquid}]")]
    size = (
        show_volume(recipe.container_l, show)
        if recipe.container_l is not None
        else show_mass(recipe.container_kg or 0.0, show)
    )
    left = show_volume(made.left_over, show) if by_volume else show_mass(made.left_over, show)
    return [*rows, ("Buy", f"{made.containers} of {size}; {left} left over")]


def _losses(answer: MixAnswer, recipe: Recipe, show: Show) -> list[tuple[str, str]]:
    if not answer.carried:
        return []
    low, high = show_volume(answer.drag_out_l, show), show_volume(answer.drag_out_most_l, show)
    tag = (
        "rates by the slope of each face, from memory" if recipe.drag_out_l_m2 is None else "the shop's rate"
    )
    total = low if low == high else f"{low} to {high}"
    rows = [("Drag-out", f"{total}, each piece once ({tag})")]
    rows += [("", _carried(row, show)) for row in answer.carried]
    drip = ", ".join(f"{seconds:g} s {show_volume(litres, show)}" for seconds, litres in answer.drip)
    rows.append(("Drip", f"{drip} (curve from memory)"))
    treated = show_area(answer.area_m2 * MM2_PER_M2, show)
    if answer.area_at_most_m2 is None:
        return [*rows, ("Area count", f"{treated}; the maker's limit is not known: write area_at_most")]
    most = show_area(answer.area_at_most_m2 * MM2_PER_M2, show)
    share = answer.area_m2 / answer.area_at_most_m2
    return [*rows, ("Area count", f"{treated} of {most} that the bath may treat: {share:.0%}")]


def _carried(row: Carried, show: Show) -> str:
    standing = f", {show_volume(row.carry_out_l, show)} stands in it" if row.carry_out_l > 0.0 else ""
    rates = f"{row.low_l_m2 * 1000.0:.0f}"
    if row.high_l_m2 > row.low_l_m2:
        rates += f" to {row.high_l_m2 * 1000.0:.0f}"
    area = show_area(row.area_m2 * MM2_PER_M2, show)
    film = show_volume(row.film_l, show)
    return f"{row.part} x {row.count}: {area} at {rates} ml/m² clings {film}{standing}"


def _rinsing(answer: MixAnswer, recipe: Recipe, show: Show) -> list[tuple[str, str]]:
    tag = "" if recipe.rinse_ratio else ", a first target (common practice)"
    rows = [("Rinse", f"{answer.rinse_ratio:g} times weaker than the bath{tag}")]
    for rinse in answer.rinses:
        tanks = "1 running tank" if rinse.stages == 1 else f"{rinse.stages} in counterflow"
        water = f": {show_volume(rinse.flow_l, show)} for the list" if answer.carried else ""
        rows.append(("", f"{tanks}: {rinse.times_drag_out:.3g} times the drag-out{water}"))
    if answer.static is not None:
        static = answer.static
        rows.append(
            (
                "Static rinse",
                f"{show_volume(static.rinse_l, show)} takes {static.loads_to_dump} pieces before it is too "
                f"strong; after all of them it is at {static.share_after_kit:.2%} of the bath",
            )
        )
    return rows
