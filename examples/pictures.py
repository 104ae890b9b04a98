"""Draw the yard's telling answers into examples/pictures/, among them the picture of the README.

Run it from anywhere: python examples/pictures.py
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import fitcheck as fc
from fitcheck.draw.paint import blank, put, write
from fitcheck.sheet.kit import Order, part_sheet
from fitcheck.things.answer import Answer
from fitcheck.words.units import read_angle

HERE = Path(__file__).resolve().parent


@dataclass(frozen=True, slots=True)
class Wanted:
    """A part, a tank, the name of their picture, and why it is worth one."""

    part: str
    tank: str
    picture: str
    why: str


PICTURES = (
    Wanted("P08", "T1", "hatch.png", "too wide laid flat, too tall upright: rolled it goes under (README)"),
    Wanted("P07", "T2", "rib.png", "upright it has next to nothing to spare; leaned and swung it has more"),
    Wanted("P03", "T2", "section.png", "a fuel-tank section in a deep tank"),
    Wanted("P02", "T1", "mast.png", "longer than the tank inside: no tilt helps, and the picture shows why"),
    Wanted("P23", "T5", "saddle.png", "nothing to spare but what the tape may hide: measure again"),
)


@dataclass(frozen=True, slots=True)
class Caught:
    """A part, how it hangs (None: every way up, and where it fits the tank), its picture, and why."""

    part: str
    angles: tuple[str, str] | None
    tank: str | None
    picture: str
    why: str


CAUGHT = (
    Caught(
        "P10", ("30 deg", "180 deg"), None, "pan-edge.png", "an edge up, it still keeps 1.8 litres of air"
    ),
    Caught("P10", ("20.7 deg", "157.8 deg"), None, "pan-corner.png", "a corner up, a ninth of that"),
    Caught("P03", ("0 deg", "0 deg"), None, "section-full.png", "three bays full of bath, 450 kg"),
    Caught("P03", None, "T2", "section-map.png", "every way up, and which of them fit the deep tank"),
    Caught("P12", ("5 deg", "0 deg"), None, "tube.png", "the hole in the cap is too low to let all air out"),
    Caught("P19", ("0 deg", "0 deg"), None, "baffle.png", "flange up, it comes out with five litres"),
    Caught("P20", ("0 deg", "180 deg"), None, "gooseneck.png", "a blind hole, mouth down"),
)


SHEET = ("P08", "T1", "sheet.png", "what hangs beside the tank (README)")


def draw_sheet(shop: fc.Shop, folder: Path) -> None:
    """Draw the page of one lift as a picture."""
    part, tank, picture, why = SHEET
    order = Order("letter", False, shop.show, shop.name)
    sheet = part_sheet(shop.parts[part], (shop.tanks[tank],), order)
    laid = sheet.laid[0]
    paper = blank(laid.size_pt)
    put(laid.marks, paper)
    path = folder / picture
    write(paper, path)
    print(f"{path.relative_to(HERE.parent)}: {part} in {tank}; {why}")


def draw_plans(shop: fc.Shop, folder: Path) -> None:
    """Draw the rack, the room, the way of the rail through the corridors, and blocks for the boom."""
    for name, answer in (
        ("rack", fc.store(shop.racks["dry"], tuple(shop.parts.values()), shop.rules)),
        ("room", fc.room(shop.rooms["build"])),
        ("carry", fc.carry(shop.parts["P13"], shop.routes["rail_in"])),
        ("blocks", fc.block(shop.tanks["T1"], [shop.parts["P01"]], shop.stock)),
    ):
        drawn(answer, shop, folder / f"{name}.png", answer.kind)


def drawn(answer: Answer, shop: fc.Shop, path: Path, why: str) -> None:
    """Draw an answer, and say so."""
    notes = answer.draw(path, shop)
    print(f"{path.relative_to(HERE.parent)}: {answer!r}; {why}")
    for note in notes:
        print(f"  {note}")


def main() -> None:
    """Answer each question of the yard above and draw it."""
    shop = fc.read_shop(HERE / "yard" / "yard.toml")
    folder = HERE / "pictures"
    folder.mkdir(exist_ok=True)
    for wanted in PICTURES:
        answer = fc.dip(shop.parts[wanted.part], shop.tanks[wanted.tank])
        drawn(answer, shop, folder / wanted.picture, wanted.why)
    for caught in CAUGHT:
        angles = fc.Angles(*map(read_angle, caught.angles)) if caught.angles else None
        tank = shop.tanks[caught.tank] if caught.tank else None
        drawn(fc.pocket(shop.parts[caught.part], angles, tank), shop, folder / caught.picture, caught.why)
    draw_sheet(shop, folder)
    draw_plans(shop, folder)


if __name__ == "__main__":
    main()
