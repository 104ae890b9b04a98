"""Plain figures for the guides whose commands draw none, each from the answer that its guide shows."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

import fitcheck as fc
from fitcheck.draw.ink import CARE, FAINT, GO, INK, LIQUID, METAL, PAPER, SURFACE
from fitcheck.things.tank import Tank
from fitcheck.words.units import LITRES_PER_GALLON, MM_PER_INCH, RAD_PER_DEGREE, show_force, show_length

mpl.use("Agg")


def figures(shop: fc.Shop, folder: Path) -> None:
    """Draw all of them."""
    for name, draw in FIGURES.items():
        sheet = Figure(figsize=(10.0, 4.5), facecolor=PAPER, layout="constrained")
        axes = sheet.add_subplot()
        axes.set_facecolor(PAPER)
        for side in ("top", "right"):
            axes.spines[side].set_visible(False)
        axes.tick_params(colors=INK, labelsize=11)
        draw(shop, axes)
        sheet.savefig(folder / f"{name}.png", dpi=100)


def _named(axes: Axes, title: str, across: str, up: str) -> None:
    axes.set_title(title, fontsize=15, fontweight="bold", loc="left", color=INK)
    axes.set_xlabel(across, fontsize=12, color=INK)
    axes.set_ylabel(up, fontsize=12, color=INK)


def _size(inches: float) -> str:
    return show_length(inches * MM_PER_INCH, "ft-in")


def mix(shop: fc.Shop, axes: Axes) -> None:
    """Draw the rinse water by how many tanks stand in a row."""
    parts = [shop.parts[name] for name in ("P01", "P05")]
    answer = fc.mix(shop.tanks["T1"], 16.0 * MM_PER_INCH, parts)
    gallons = [rinse.flow_l / LITRES_PER_GALLON for rinse in answer.rinses]
    bars = axes.barh([f"{rinse.stages} in a row" for rinse in answer.rinses], gallons, color=SURFACE)
    axes.bar_label(bars, [f"{gallon:.3g} gal" for gallon in gallons], padding=6, fontsize=13, color=INK)
    axes.invert_yaxis()
    axes.set_xscale("log")
    axes.set_xlim(1.0, 3.0 * max(gallons))
    _named(axes, f"Rinse water for P01 and P05, {answer.rinse_ratio:.0f} times weaker", "gal (log scale)", "")


def tank_for(shop: fc.Shop, axes: Axes) -> None:
    """Draw the inside of the tank to be built for P10, from its three sides."""
    new = fc.tank_for([shop.parts["P10"]], shop.rules).tanks[0]
    length, width, depth = (side / MM_PER_INCH for side in new.inside_mm)
    level = new.level_mm / MM_PER_INCH
    for left, wide in ((0.0, length), (length + 8.0, width)):
        axes.add_patch(Rectangle((left, 0.0), wide, level, facecolor=LIQUID))
        axes.plot([left, left, left + wide, left + wide], [depth, 0.0, 0.0, depth], color=INK, lw=3)
        axes.text(left + wide / 2.0, -2.6, _size(wide), ha="center", fontsize=13)
    axes.text(length + width + 9.0, level / 2.0, f"{_size(level)} of liquid", fontsize=13, color=SURFACE)
    axes.text(length + width + 9.0, depth - 1.5, f"{_size(depth)} deep", fontsize=13)
    axes.set_aspect("equal")
    axes.set_xlim(-2.0, length + width + 30.0)
    axes.set_ylim(-4.0, depth + 1.0)
    axes.axis("off")
    axes.set_title("Inside of the box tank for P10: side and end", fontsize=15, weight="bold", loc="left")


def as_built(shop: fc.Shop, axes: Axes) -> None:
    """Draw the readings of T4 less what the tank as taped would hold."""
    tank: Tank = shop.tanks["T4"]
    readings = [fc.Reading(*pair) for pair in ((100.0, 73.0), (200.0, 147.0), (300.0, 220.0), (400.0, 293.0))]
    answer = fc.as_built(tank, readings)
    for row, taped in ((answer.corrected, "as built"), (tank, "as taped")):
        levels = np.linspace(0.0, 450.0, 10)
        more = [fc.fill(row, z)[0].liquid_l - fc.fill(tank, z)[0].liquid_l for z in levels]
        axes.plot(levels, more, color=GO if row is answer.corrected else FAINT, lw=2.5, label=taped)
    for each in readings:
        less = each.liquid_l - fc.fill(tank, each.level_mm)[0].liquid_l
        axes.plot(each.level_mm, less, "o", color=CARE, ms=9)
    axes.legend(fontsize=12, frameon=False)
    _named(axes, "T4: litres more than as taped, and the four readings", "level, mm", "litres")


def measure(shop: fc.Shop, axes: Axes) -> None:
    """Draw what P11 displaces: metal, and the space sealed in it."""
    measured = fc.measure(shop.parts["P11"])
    metal, sealed = (x / LITRES_PER_GALLON for x in (measured.volume_l, measured.sealed_l))
    axes.barh(["P11"], [metal], color=METAL, label=f"metal, {metal:.3g} gal")
    axes.barh(["P11"], [sealed], left=[metal], color=LIQUID, label=f"sealed space, {sealed:.3g} gal")
    axes.set_ylim(-1.0, 1.0)
    axes.legend(fontsize=13, frameon=False, loc="upper left")
    _named(axes, "What the flotation tube pushes aside", "gal", "")


def weigh(shop: fc.Shop, axes: Axes) -> None:
    """Draw what P03 weighs on the hook over T2."""
    answer = fc.weigh(shop.parts["P03"], shop.tanks["T2"])
    forces = {"dry": answer.dry_n, "under the liquid": answer.under_n, "lifted out": answer.lift_out_n}
    bars = axes.barh(list(forces), list(forces.values()), color=[METAL, LIQUID, CARE])
    axes.bar_label(bars, [show_force(force, "ft-in") for force in forces.values()], padding=6, fontsize=13)
    axes.invert_yaxis()
    axes.set_xlim(0.0, 1.2 * max(forces.values()))
    axes.set_xticks([])
    _named(axes, "On the hook: the tank section P03 over T2", "", "")


def prove(shop: fc.Shop, axes: Axes) -> None:
    """Draw the cells of the mast's proof by swing and tilt, all rolls over each other."""
    answer = fc.dip(shop.parts["P02"], shop.tanks["T1"], with_cures=False)
    if not isinstance(answer, fc.DoesNotFit):
        raise SystemExit("the mast goes into T1: another part is needed for this figure")
    middle, half = (x / RAD_PER_DEGREE for x in (answer.proof.middle_rad, answer.proof.half_rad))
    for (swing, tilt, _), (wide, high, _) in zip(middle, half, strict=True):
        corner = (swing - wide, tilt - high)
        axes.add_patch(Rectangle(corner, 2.0 * wide, 2.0 * high, facecolor="none", edgecolor=SURFACE, lw=0.5))
    axes.set_xlim(-90.0, 90.0)
    axes.set_ylim(0.0, 90.0)
    _named(axes, f"The mast in T1: {len(middle)} cells, no room in any", "swing, degrees", "tilt, degrees")


FIGURES: dict[str, Callable[[fc.Shop, Axes], None]] = {
    "mix": mix,
    "tank-for": tank_for,
    "as-built": as_built,
    "measure": measure,
    "weigh": weigh,
    "prove": prove,
}
