"""The picture of a lift: to scale, with its sizes, readable, whatever is known of the heights."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from strategies.solids import box, tank_of

from fitcheck.draw import ink, layout
from fitcheck.draw.flat import Frame
from fitcheck.draw.ink import Area, Label, Stroke, box_of
from fitcheck.draw.outline import SIDE
from fitcheck.geometry.mesh.measure import weighed
from fitcheck.questions.hang.answer import HangAnswer
from fitcheck.questions.hang.ask import hang
from fitcheck.questions.hang.draw import draw_hang, hang_marks
from fitcheck.questions.hang.draw_marks import SLING_PT
from fitcheck.questions.hang.draw_scene import lift_of
from fitcheck.shapes.catalogue import build
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles
from fitcheck.things.shop import Show
from fitcheck.things.tank import Rim, Rules, Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import RAD_PER_DEGREE


def part_of(shape: str, **values: object) -> Part:
    return weighed(shape, build(shape, values).solid, 2.7)


def tank(inside: tuple[float, float, float], rim: float | None, hook: float | None) -> Tank:
    return replace(tank_of(box(inside), Rules(25.0, 50.0, 50.0, 100.0)), rim=Rim(rim, hook))


DEEP = tank((1828.8, 762.0, 1219.2), 1350.0, 3200.0)
LONG = tank((7315.2, 406.4, 609.6), 863.6, 2438.4)
SMALL = tank((1200.0, 600.0, 500.0), 900.0, None)
UNKNOWN = tank((1200.0, 600.0, 500.0), None, None)
SUNK = tank((1828.8, 762.0, 1219.2), 400.0, 2000.0)
SECTION = replace(
    part_of("tube", size=(2100.0, 700.0, 420.0), wall=1.6, ends="open"),
    picks_mm=np.array([[450.0, 350.0, 420.0], [1650.0, 350.0, 420.0]]),
)
SPAR = part_of("tube", size=(4724.4, 152.4, 101.6), wall=3.175, ends="closed")
PAN = part_of("pan", size=(600.0, 600.0, 60.0), wall=1.6)


def asked(
    part: Part, tank: Tank, tilt: float = 0.0, rise: float | None = None, legs: int | None = None
) -> tuple[HangAnswer, Part, Tank]:
    return hang(part, tank, Angles(tilt * RAD_PER_DEGREE), rise_mm=rise, legs=legs), part, tank


CASES = {
    "tilted": asked(SECTION, DEEP, 38.17),
    "tilted back": asked(SECTION, DEEP, -38.17),
    "too low": asked(SECTION, DEEP, 60.0),
    "too low the other way": asked(SECTION, DEEP, -60.0),
    "flat legs": asked(SECTION, DEEP, 0.0, 172.0),
    "long": asked(SPAR, LONG),
    "long and flat": asked(SPAR, LONG, 0.0, 300.0),
    "carries liquid": asked(PAN, DEEP, 0.0, None, 3),
    "one leg": asked(part_of("block", size=(300.0, 200.0, 150.0)), SMALL, 0.0, None, 1),
    "no heights": asked(PAN, UNKNOWN),
    "sunk in the floor": asked(PAN, SUNK),
}


def sheet(name: str, show: Show) -> ink.Marks:
    answer, part, tank = CASES[name]
    return hang_marks(answer, part, tank, show, "Our yard")


def words_of(marks: ink.Marks) -> list[Label]:
    return [mark for mark in marks if isinstance(mark, Label)]


@pytest.mark.parametrize("show", ["mm", "ft-in"])
@pytest.mark.parametrize("name", CASES)
def test_words_do_not_overlap_and_stay_on_the_sheet(name: str, show: Show) -> None:
    labels = words_of(sheet(name, show))
    boxes = [box_of(label) for label in labels]
    for label, area in zip(labels, boxes, strict=True):
        assert area.left >= 12.0, label.words
        assert area.low >= 12.0, label.words
        assert area.right <= layout.SHEET_PT[0] - 12.0, label.words
        assert area.high <= layout.SHEET_PT[1] - 12.0, label.words
    for (one, first), (two, second) in itertools.combinations(zip(labels, boxes, strict=True), 2):
        # Lines stand 1.22 of their print apart; letters reach less high than that.
        less = ink.Box(first.left, first.low + 2.5, first.right, first.high - 2.5)
        assert not less.overlaps(second), (one.words, two.words)


@pytest.mark.parametrize("name", CASES)
def test_labels_leave_legs_part_and_picks_to_be_seen(name: str) -> None:
    """No label of a leg lies over a pick or over the middle of any leg's lower half."""
    answer, part, tank = CASES[name]
    marks = hang_marks(answer, part, tank, "ft-in")
    frame = _frame(marks, answer, part, tank)
    lift = lift_of(answer, part, tank)
    picks = frame.place(lift.picks_mm)
    hook = frame.place(lift.hook_mm)[0]
    boxes = [box_of(label) for label in words_of(marks) if label.colour == ink.SURFACE]
    assert boxes
    for pick in picks:
        for at in (pick, 0.75 * pick + 0.25 * hook, 0.5 * (pick + hook)):
            assert not any(b.left < at[0] < b.right and b.low < at[1] < b.high for b in boxes)


def legs_of(marks: ink.Marks) -> Stroke:
    """Return the drawn legs: the level in a pocket has their colour, but not their width."""
    return next(
        m for m in marks if isinstance(m, Stroke) and (m.colour, m.width_pt) == (ink.SURFACE, SLING_PT)
    )


def _frame(marks: ink.Marks, answer: HangAnswer, part: Part, tank: Tank) -> Frame:
    """Return where the view lies, read off the drawn legs: two of their ends are known in mm."""
    lift = lift_of(answer, part, tank)
    legs = legs_of(marks)
    pick, hook = np.asarray(legs.lines[0])
    apart = float(lift.hook_mm[2] - lift.picks_mm[0, 2])
    scale = float(hook[1] - pick[1]) / apart
    left, floor = hook[0] - scale * lift.hook_mm[0], hook[1] - scale * lift.hook_mm[2]
    return Frame(SIDE, float(left), float(floor), scale)


@pytest.mark.parametrize("name", CASES)
def test_the_part_and_its_legs_are_to_scale(name: str) -> None:
    answer, part, tank = CASES[name]
    marks = hang_marks(answer, part, tank, "mm")
    frame = _frame(marks, answer, part, tank)
    legs = legs_of(marks)
    picks = answer.pose.apply(np.array([leg.pick_mm for leg in answer.legs]))
    for line, pick in zip(legs.lines, picks, strict=True):
        assert line[0] == pytest.approx(frame.place(pick)[0], abs=1e-6)
    outline = next(mark for mark in marks if isinstance(mark, Area) and mark.fill == ink.METAL)
    drawn = np.vstack(outline.rings)
    seen = frame.place(answer.pose.apply(part.solid.vertices_mm))
    assert drawn.min(axis=0) == pytest.approx(seen.min(axis=0), abs=1e-3)
    assert drawn.max(axis=0) == pytest.approx(seen.max(axis=0), abs=1e-3)


def test_the_sizes_of_a_lift_are_on_its_sheet() -> None:
    answer = CASES["tilted"][0]
    words = {label.words for label in words_of(sheet("tilted", "mm"))}
    assert f"{answer.rise_mm:.1f} mm\nrise" in words
    assert "1350 mm\nrim" in words
    assert "3200 mm\nhook goes to" in words
    assert "about 50 mm\nover the rim" in words
    assert answer.hook.needed_mm is not None
    assert f"{math.ceil(answer.hook.needed_mm * 10.0 - 1e-6) / 10.0:g} mm\nhook needs" in words
    for k, leg in enumerate(answer.legs):
        angle = f"{leg.angle_rad / RAD_PER_DEGREE:.1f}".removesuffix(".0")
        assert f"{k + 1}: {angle} deg\n{leg.tension_n:.1f} N" in words
    said = " ".join(words)
    for word in ("FITS", "tube over tank", "Nobody under the load", "ASME B30.9", "prove it in plain water"):
        assert word in said


def test_what_is_not_known_is_not_drawn() -> None:
    words = " ".join(label.words for label in words_of(sheet("no heights", "mm")))
    assert "hook needs" not in words
    assert "hook goes to" not in words
    assert "rise" in words
    assert "rim_height and hook_height" in words.replace("\n", " ")
    known = " ".join(label.words for label in words_of(sheet("one leg", "mm")))
    assert "hook needs" in known
    assert "hook goes to" not in known


def test_a_hook_too_low_stands_out() -> None:
    labels = words_of(sheet("too low", "ft-in"))
    needs = next(label for label in labels if "hook needs" in label.words)
    assert (needs.colour, needs.bold) == (ink.WARNING, True)
    fine = next(label for label in words_of(sheet("tilted", "ft-in")) if "hook needs" in label.words)
    assert fine.colour == ink.INK


def test_legs_that_look_alike_share_their_words() -> None:
    words = [label.words for label in words_of(sheet("carries liquid", "mm"))]
    assert any(text.startswith("2, 3: ") and text.endswith(" each") for text in words)


def test_what_it_carries_out_is_drawn() -> None:
    fills = {mark.fill for mark in sheet("carries liquid", "mm") if isinstance(mark, Area)}
    assert ink.POCKET_COLOURS["liquid"][0] in fills


@pytest.mark.parametrize("ending", [".png", ".svg", ".pdf"])
def test_it_is_written(ending: str, tmp_path: Path) -> None:
    answer, part, tank = CASES["tilted"]
    target = tmp_path / f"lift{ending}"
    draw_hang(answer, part, tank, "ft-in", target, "Our yard")
    first = target.read_bytes()
    assert len(first) > 5000
    if ending == ".png":
        with Image.open(target) as picture:
            assert picture.size == (2200, 1700)
    draw_hang(answer, part, tank, "ft-in", target, "Our yard")
    assert target.read_bytes() == first or ending == ".svg"


def test_a_place_that_cannot_be_written_is_refused(tmp_path: Path) -> None:
    answer, part, tank = CASES["tilted"]
    with pytest.raises(Refused, match="there is no folder"):
        draw_hang(answer, part, tank, "mm", tmp_path / "none" / "lift.png")
    with pytest.raises(Refused, match="not written as"):
        draw_hang(answer, part, tank, "mm", tmp_path / "lift.txt")
