"""`fitcheck mix`: what a bath takes to make up, what the parts carry off, and the water that rinses them."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated, Literal

import typer

from fitcheck.cli.finish import finish, finish_json
from fitcheck.cli.options import AsJson, ShopFile, TankName, part_named, tank_named
from fitcheck.cli.progress import ticking
from fitcheck.cli.quantities import read_option
from fitcheck.words.units import read_length, read_mass, read_volume

if TYPE_CHECKING:
    from fitcheck.things.liquid import Recipe

# The same words as `fitcheck.questions.mix.answer.Drains`; a test holds them equal.
DrainsWord = Literal["as hung", "well", "poorly", "flat"]


def mix(  # noqa: PLR0913, PLR0917 - one parameter for each option
    shop: ShopFile,
    tank: TankName,
    level: Annotated[
        str, typer.Option(metavar="LEVEL", help='Liquid over the tank floor, no part in: "16 in".')
    ],
    parts: Annotated[
        str | None,
        typer.Option("--for", metavar="PART[,PART]", help="The parts that go through; all where left out."),
    ] = None,
    strength: Annotated[
        str | None,
        typer.Option("--make-up", metavar="RATIO", help='"1:9", "10 %" or "6 oz/gal", not the file\'s.'),
    ] = None,
    container: Annotated[
        str | None, typer.Option(metavar="SIZE", help='What it is bought in: "5 gal", or "50 lb" of powder.')
    ] = None,
    drains: Annotated[DrainsWord, typer.Option(help="How the parts drain.")] = "as hung",
    drip: Annotated[float, typer.Option(metavar="SECONDS", help="How long they drip over the bath.")] = 10.0,
    static_rinse: Annotated[
        str | None, typer.Option(metavar="VOLUME", help="A rinse that stands, of this much water.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Ask what a bath takes: make-up, what to buy, drag-out, rinse water."""
    level_mm = read_option("--level", level, read_length) or 0.0
    static_l = read_option("--static-rinse", static_rinse, read_volume)
    from fitcheck.files.shop_file import read_shop
    from fitcheck.questions import register
    from fitcheck.questions.mix.ask import Wishes
    from fitcheck.questions.mix.ask import mix as ask

    known = read_shop(shop)
    the_tank = tank_named(known, shop, tank)
    named = list(known.parts.values())
    if parts is not None:
        named = [part_named(known, shop, name.strip()) for name in parts.split(",") if name.strip()]
    recipe = _recipe(the_tank.liquid.recipe, strength, container)
    with ticking(len(named), f"what the parts carry off {tank}") as progress:
        answer = ask(the_tank, level_mm, named, recipe, Wishes(drains, drip, static_l), progress)
    if as_json:
        finish_json(register.to_dict(answer, known.show))
    finish(register.text(answer, known))


def _recipe(own: Recipe, strength: str | None, container: str | None) -> Recipe:
    """Return the liquid's own recipe, with what was typed instead."""
    from fitcheck.words.strength import read_strength

    typed = read_option("--make-up", strength, read_strength)
    recipe = own if typed is None else replace(own, strength=typed, container_l=None, container_kg=None)
    if container is None:
        return recipe
    if recipe.strength is not None and recipe.strength.kg_l is not None:
        return replace(recipe, container_kg=read_option("--container", container, read_mass))
    return replace(recipe, container_l=read_option("--container", container, read_volume))
