"""Draw the pictures of the guides into the folder `pictures` beside this script, small.

Run it from anywhere: `python examples/guides/make_pictures.py`. Each is what a command of its guide draws, in
a copy of the demo yard, made smaller. The page of `view` is photographed in chromium (`apt-get install
chromium`).
"""

from __future__ import annotations

import contextlib
import io
import shlex
import shutil
import tempfile
from pathlib import Path

from PIL import Image
from plain_figures import FIGURES, figures
from seen_files import draw_export, draw_view

import fitcheck as fc
from fitcheck.cli.main import run
from fitcheck.draw.paint import blank, put, write
from fitcheck.sheet.kit import Order, part_sheet

HERE = Path(__file__).resolve().parent
YARD = HERE.parent / "yard"
COMMANDS = {
    "dip": "dip yard.toml P08 T1",
    "measure-again": "dip yard.toml P23 T5",
    "pocket": 'pocket yard.toml P10 --tilt "20.7 deg" --roll "157.8 deg"',
    "pass": "pass yard.toml P02 T1",
    "block": "block yard.toml T1 --for P08",
    "hang": 'hang yard.toml P04 T2 --tilt "38.2 deg"',
    "chart": "chart yard.toml",
    "day": "day yard.toml",
    "liquid": 'fill yard.toml T1 --level "20 in"',
    "lot": "lot yard.toml --tank T2",
    "ladder": "ladder yard.toml --tank T1",
    "store": "store yard.toml dry --parts P01,P18,P19,P21",
    "room": "room yard.toml build",
    "carry": "carry yard.toml P13 rail_in",
}
# Wide enough to read a dimension on a page, few enough colours to be small.
WIDE_PX, COLOURS = 1000, 48


def shrink(drawn: Path, picture: Path) -> None:
    """Write a picture smaller."""
    with Image.open(drawn) as image:
        flat = image.convert("RGB")
    tall = round(flat.height * WIDE_PX / flat.width)
    small = flat.resize((WIDE_PX, tall), Image.Resampling.LANCZOS) if flat.width > WIDE_PX else flat
    small.quantize(COLOURS, dither=Image.Dither.NONE).save(picture, optimize=True)
    print(f"{picture.relative_to(HERE.parents[1])}: {picture.stat().st_size // 1000} kB")


def draw_page(shop: fc.Shop, picture: Path) -> None:
    """Draw the page of one lift."""
    order = Order("letter", False, shop.show, shop.name)
    laid = part_sheet(shop.parts["P08"], (shop.tanks["T1"],), order).laid[0]
    paper = blank(laid.size_pt)
    put(laid.marks, paper)
    write(paper, picture)


def main() -> None:
    """Ask, draw and shrink."""
    folder = HERE / "pictures"
    folder.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as made:
        yard = shutil.copytree(YARD, Path(made) / "yard")
        for name, command in COMMANDS.items():
            with contextlib.chdir(yard), contextlib.redirect_stdout(io.StringIO()):
                run([*shlex.split(command), "--picture", f"{name}.png"])
            shrink(yard / f"{name}.png", folder / f"{name}.png")
        shop = fc.read_shop(yard / "yard.toml")
        draw_page(shop, yard / "sheet.png")
        figures(shop, yard)
        with contextlib.chdir(yard), contextlib.redirect_stdout(io.StringIO()):
            run(shlex.split("view yard.toml P03 T2 --html pan.html"))
            run(shlex.split("export blocks.toml P15 T4 --to step.glb"))
        draw_view(yard / "pan.html", yard / "view.png")
        draw_export(yard / "step.glb", "P15", yard / "export.png")
        for name in ("sheet", "view", "export", *FIGURES):
            shrink(yard / f"{name}.png", folder / f"{name}.png")


if __name__ == "__main__":
    main()
