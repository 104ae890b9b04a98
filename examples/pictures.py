"""Draw the yard's telling answers into examples/pictures/, among them the picture of the README.

Run it from anywhere: python examples/pictures.py
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import fitcheck as fc
from fitcheck.rim.cli.cautions import with_cautions
from fitcheck.rim.draw import draw_dip

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


def main() -> None:
    """Answer each question of the yard above and draw it."""
    shop = fc.read_shop(HERE / "yard" / "yard.toml")
    folder = HERE / "pictures"
    folder.mkdir(exist_ok=True)
    for wanted in PICTURES:
        part, tank = shop.parts[wanted.part], shop.tanks[wanted.tank]
        answer = with_cautions(fc.dip(part, tank), tank, shop.show)
        path = folder / wanted.picture
        notes = draw_dip(answer, part, tank, shop.show, path, shop.name)
        print(
            f"{path.relative_to(HERE.parent)}: {answer.part} in {answer.tank}, {answer.verdict}; {wanted.why}"
        )
        for note in notes:
            print(f"  {note}")


if __name__ == "__main__":
    main()
