"""The words that several commands share, and how a part or tank is found by its name."""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal, TypeVar

import typer

from fitcheck.cli.quantities import read_option
from fitcheck.files.written import check_place
from fitcheck.words.errors import Fault, InputFault, Refused
from fitcheck.words.units import quoted, read_angle

if TYPE_CHECKING:
    from contextlib import AbstractContextManager

    from fitcheck.draw.space_photo import Photographer
    from fitcheck.things.part import Part
    from fitcheck.things.pose import Angles
    from fitcheck.things.shop import Shop
    from fitcheck.things.tank import Tank

Thing = TypeVar("Thing")
# The same words as `fitcheck.sheet.paper.PaperName`, which would bring numpy along.
PaperWord = Literal["letter", "a4"]

# What `fitcheck.draw` can write.
PICTURES = (".png", ".svg", ".pdf")

ShopFile = Annotated[Path, typer.Argument(metavar="SHOP", help="The shop file (TOML).")]
PartName = Annotated[str, typer.Argument(metavar="PART", help="A part of it.")]
TankName = Annotated[str, typer.Argument(metavar="TANK", help="A tank of it.")]
AsJson = Annotated[bool, typer.Option("--json", help="Print the answer as JSON and nothing else.")]
Picture = Annotated[
    Path | None,
    typer.Option("--picture", metavar="FILE.png", help="Draw the answer too."),
]

Tilt = Annotated[
    str | None,
    typer.Option(
        metavar="ANGLE", help='Ask about one way of hanging: "30 deg", +x end up. An angle left out is 0.'
    ),
]
Roll = Annotated[
    str | None,
    typer.Option(metavar="ANGLE", help="The same, roll about the part's length, +y side up."),
]
Swing = Annotated[
    str | None,
    typer.Option(metavar="ANGLE", help="The same, swing in plan, counter-clockwise from above."),
]


def angles_given(tilt: str | None, roll: str | None, swing: str | None) -> Angles | None:
    """Return the one way of hanging that was asked about, or None for any; an angle left out is 0."""
    given = [
        read_option(option, text, read_angle)
        for option, text in (("--tilt", tilt), ("--roll", roll), ("--swing", swing))
    ]
    if given == [None, None, None]:
        return None
    from fitcheck.things.pose import Angles

    return Angles(*(angle or 0.0 for angle in given))


def photographer_for(picture: Path | None) -> AbstractContextManager[Photographer | None]:
    """Call in the photographer for a picture at once: he gets ready while the answer is being found."""
    if picture is None:
        return nullcontext()
    from fitcheck.draw.space_photo import Photographer

    return Photographer()


def part_named(shop: Shop, shop_file: Path, name: str) -> Part:
    """Return the part of that name; raises `InputFault` with the known ones."""
    _check_names(shop_file, [("part", name, shop.parts)])
    return shop.parts[name]


def tank_named(shop: Shop, shop_file: Path, name: str) -> Tank:
    """Return the tank of that name; raises `InputFault` with the known ones."""
    _check_names(shop_file, [("tank", name, shop.tanks)])
    return shop.tanks[name]


def named(shop_file: Path, kind: str, name: str, things: Mapping[str, Thing]) -> Thing:
    """Return the thing of that name (a room, a rack, ...); raises `InputFault` with the known ones."""
    _check_names(shop_file, [(kind, name, things)])
    return things[name]


def part_and_tank(shop: Shop, shop_file: Path, part: str, tank: str) -> tuple[Part, Tank]:
    """Return both; raises `InputFault` that names each that is not there."""
    _check_names(shop_file, [("part", part, shop.parts), ("tank", tank, shop.tanks)])
    return shop.parts[part], shop.tanks[tank]


def tanks_of(shop: Shop, shop_file: Path) -> list[Tank]:
    """Return every tank; raises `InputFault` where there is none."""
    if not shop.tanks:
        raise InputFault(
            [Fault(str(shop_file), "there is no tank in it", "add a [tanks.NAME] with its inside")]
        )
    return list(shop.tanks.values())


def parts_of(shop: Shop, shop_file: Path) -> list[Part]:
    """Return every part; raises `InputFault` where there is none."""
    if not shop.parts:
        raise InputFault(
            [Fault(str(shop_file), "there is no part in it", "add a [parts.NAME] with its shape or mesh")]
        )
    return list(shop.parts.values())


def check_picture(path: Path | None, option: str = "--picture") -> None:
    """Refuse a picture that could not be written, before any work is done for it."""
    if path is None:
        return
    if path.suffix.lower() not in PICTURES:
        cure = f"end it in {', '.join(PICTURES)}"
        raise InputFault([Fault(option, f"{path} is not a kind of picture known here", cure)])
    check_file(path, option)


def check_file(path: Path | None, option: str) -> None:
    """Refuse a file that could not be written, before any work is done for it."""
    if path is None:
        return
    try:
        check_place(path)
    except Refused as fault:
        raise InputFault([Fault(option, fault.problem, fault.cure)]) from fault


def _check_names(shop_file: Path, asked: list[tuple[str, str, Mapping[str, object]]]) -> None:
    faults = [
        Fault(str(shop_file), f"there is no {kind} {quoted(name)}", _known(kind, name, things))
        for kind, name, things in asked
        if name not in things
    ]
    if faults:
        raise InputFault(faults)


def _known(kind: str, name: str, things: Mapping[str, object]) -> str:
    """Name the nearest known thing first, then all of them."""
    if not things:
        return f"the file has no [{kind}s.NAME] at all"
    by_folded = {known.casefold(): known for known in things}
    near = difflib.get_close_matches(name.casefold(), by_folded, n=1)
    nearest = f"did you mean {by_folded[near[0]]}? " if near else ""
    return f"{nearest}known are {', '.join(things)}"
