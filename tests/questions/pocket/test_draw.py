"""The pictures of what a part holds: true to scale, readable, in the shop's unit, with or without OpenGL."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image
from strategies.solids import box

from fitcheck.draw import ink, layout, space_photo
from fitcheck.draw.ink import Area, Label, box_of
from fitcheck.draw.leaders import Said, said_below
from fitcheck.draw.posed_part import hung, only
from fitcheck.draw.space_photo import Photographer
from fitcheck.geometry.mesh.measure import weighed
from fitcheck.questions.dip.answer import Fits
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.dip.draw import drawn
from fitcheck.questions.pocket import draw_map as pocket_map
from fitcheck.questions.pocket.answer import PocketAnswer, PocketMap
from fitcheck.questions.pocket.ask import pocket
from fitcheck.questions.pocket.draw import draw_pocket, pocket_sheet
from fitcheck.questions.pocket.draw_map_bands import colours, levels_l, line_at, rings_between
from fitcheck.shapes.catalogue import build
from fitcheck.shapes.holes import Hole, drilled
from fitcheck.shapes.manifold import manifold_of, solid_of
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held, PocketKind, WayUp
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.shop import Show
from fitcheck.things.solid import Floats
from fitcheck.things.tank import Rules, Tank
from fitcheck.words.units import LITRES_PER_GALLON, RAD_PER_DEGREE

SHOP = "Quayside finishing bay"


def made(shape: str, name: str, **values: object) -> Part:
    return weighed(name, build(shape, values).solid, 2.7)


def back_to_back() -> Part:
    """Return two trays of 580 x 380 mm inside, 140 mm deep, back to back: one open up, one open down."""
    body = manifold_of(box((600.0, 400.0, 300.0)))
    for z in (160.0, -1.0):
        body -= manifold_of(box((580.0, 380.0, 141.0), (10.0, 10.0, z)))
    return weighed("back to back", solid_of(body, "trays"), 2.7)


def cups() -> Part:
    """Return a slab of 500 x 300 x 60 mm with eight round-cornered cups in it, in two rows, open down."""
    body = manifold_of(box((500.0, 300.0, 60.0)))
    for k, j in itertools.product(range(4), range(2)):
        body -= manifold_of(box((90.0, 110.0, 51.0), (20.0 + 120.0 * k, 20.0 + 150.0 * j, -1.0)))
    return weighed("muffin tray with a long name, as drawn by somebody else", solid_of(body, "cups"), 2.7)


def angles(tilt_deg: float, roll_deg: float, swing_deg: float = 0.0) -> Angles:
    return Angles(tilt_deg * RAD_PER_DEGREE, roll_deg * RAD_PER_DEGREE, swing_deg * RAD_PER_DEGREE)


PAN = made("pan", "pan", size=(600.0, 600.0, 60.0), wall=1.6)
SECTION = made("section", "section", size=(1500.0, 700.0, 420.0), wall=1.6, open="+z", baffles=2)
TUBE = made("pipe", "rudder tube", diameter=76.2, length=2184.0, wall=3.2, ends="one")
OPEN_TUBE = made("tube", "spar", size=(4700.0, 150.0, 100.0), wall=3.2, ends="open")
TRAYS = back_to_back()

ATTITUDES: dict[str, tuple[Part, Angles, Show]] = {
    "air": (PAN, angles(0.0, 180.0), "mm"),
    "a corner of air": (PAN, angles(30.0, 135.0), "ft-in"),
    "liquid in three bays": (SECTION, angles(-20.0, 45.0), "ft-in"),
    "air in three bays": (SECTION, angles(12.0, 175.0, 40.0), "mm"),
    "both": (TRAYS, angles(0.0, 0.0), "mm"),
    "both, tilted": (TRAYS, angles(12.0, -20.0), "ft-in"),
    "long": (TUBE, angles(5.0, 0.0), "ft-in"),
    "on end": (TUBE, angles(90.0, 0.0), "mm"),
    "nothing": (OPEN_TUBE, angles(0.0, 0.0), "mm"),
    "eight cups": (cups(), angles(0.0, 0.0), "mm"),
}
ANSWERS = {name: pocket(part, at) for name, (part, at, _) in ATTITUDES.items()}
named = pytest.mark.parametrize("name", ATTITUDES)


def labels(marks: ink.Marks) -> list[Label]:
    return [mark for mark in marks if isinstance(mark, Label)]


def sheet_labels(name: str) -> list[Label]:
    part, _, show = ATTITUDES[name]
    sheet = pocket_sheet(ANSWERS[name], part, show, SHOP)
    unders = [replace(half.space_box, low=half.space_box.low - 20.0) for half in sheet.halves]
    return [*labels(sheet.marks), *(layout.third_name("From above", under) for under in unders)]


def words(found: list[Label]) -> list[str]:
    return [label.words for label in found]


def check_readable(found: list[Label]) -> None:
    width, height = layout.SHEET_PT
    boxes = [(label.words, box_of(label)) for label in found]
    for said, place in boxes:
        assert place.left >= 12.0, said
        # Print comes out up to 2 % wider than it is measured.
        assert place.left + 1.02 * place.width <= width - 12.0, said
        assert 12.0 <= place.low <= place.high <= height - 12.0, said
    for (said, place), (other_said, other) in itertools.combinations(boxes, 2):
        smaller = replace(place, low=place.low + 0.01, high=place.high - 0.01)
        assert not smaller.overlaps(other), (said, other_said)
    assert min(label.size_pt for label in found) >= 9.5


# One attitude


@named
def test_words_are_large_do_not_overlap_and_stay_on_the_sheet(name: str) -> None:
    check_readable(sheet_labels(name))


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        # 596.8 x 596.8 x 58.4 mm; for the trays 580 x 380 x 140 mm.
        (
            "air",
            ["Going in: air 20.8 L", "Coming out: no liquid", "air 20.8 L", "bleed hole:\nleaves nothing"],
        ),
        ("both", ["Going in: air 30.9 L", "air 30.9 L", "Coming out: liquid 30.9 L", "liquid 30.9 L"]),
        ("nothing", ["Going in: no air", "Coming out: no liquid", "HOLDS NOTHING"]),
        ("both, tilted", ["+x end up 12 deg", "top rolled 20 deg", "HOLDS BOTH"]),
        ("a corner of air", ["pan, +x end up 30 deg, rolled 135 deg, +y side up", "HOLDS AIR"]),
        ("air in three bays", ["section, +x end up 12 deg, rolled 175 deg, +y side up"]),
    ],
)
def test_what_is_held_is_said_in_the_shops_unit(name: str, expected: list[str]) -> None:
    said = words(sheet_labels(name))
    for line in expected:
        assert line in said
    unit, other = (" gal", " L") if ATTITUDES[name][2] == "ft-in" else (" L", " gal")
    assert not any(line.endswith(other) for line in said), f"litres and gallons are mixed with {unit}"


def test_each_bay_is_labelled_and_the_first_hole() -> None:
    said = words(sheet_labels("liquid in three bays"))
    held = ANSWERS["liquid in three bays"].held
    assert len(held.pockets) == 3
    each = f"liquid {held.pockets[0].volume_l / LITRES_PER_GALLON:.2f} gal".replace("0 gal", " gal")
    assert said.count(each) == 3
    assert len([line for line in said if line.startswith("drain hole:")]) == 1
    assert any(
        line.startswith("one leaves") and "three leave nothing" in line.replace("\n", " ") for line in said
    )


def areas(marks: ink.Marks, colour: str) -> list[Floats]:
    return [np.vstack(m.rings) for m in marks if isinstance(m, Area) and m.fill == colour and m.rings]


def test_pockets_are_drawn_to_the_parts_scale() -> None:
    marks = pocket_sheet(ANSWERS["both"], TRAYS, "mm", SHOP).marks
    metal = areas(marks, ink.METAL)
    (air, air_end), liquids = areas(marks, ink.AIR), areas(marks, ink.LIQUID)
    # Round the part going in, in both views, is liquid too.
    liquid, liquid_end = liquids[2:]
    for drawn_air, drawn_liquid, drawn_metal, size in (
        (air, liquid, metal[0], 600.0),
        (air_end, liquid_end, metal[1], 400.0),
    ):
        scale = np.ptp(drawn_metal[:, 0]) / size
        assert np.ptp(drawn_air, axis=0) == pytest.approx(scale * np.array([size - 20.0, 140.0]), rel=1e-5)
        assert np.ptp(drawn_liquid, axis=0) == pytest.approx(scale * np.array([size - 20.0, 140.0]), rel=1e-5)
        assert drawn_air[:, 1].min() == pytest.approx(drawn_metal[:, 1].min(), abs=1e-4), "open down"


def test_going_in_and_coming_out_are_kept_apart() -> None:
    sheet = pocket_sheet(ANSWERS["both, tilted"], TRAYS, "ft-in", SHOP)
    one, other = sheet.halves
    assert (one.kind, other.kind) == ("air", "liquid")
    assert one.plan.box.right < other.plan.box.left
    middle = (one.plan.box.right + other.plan.box.left) / 2.0
    assert all(ring[:, 0].max() < middle for ring in areas(sheet.marks, ink.AIR))
    assert {shape.pocket.kind for shape in one.here.pockets} == {"air"}
    assert {shape.pocket.kind for shape in other.here.pockets} == {"liquid"}
    assert sheet.notes == ()


def test_a_long_part_has_its_end_view_larger_or_below() -> None:
    plan = pocket_sheet(ANSWERS["long"], TUBE, "mm", SHOP).halves[0].plan
    assert not plan.in_a_row
    assert plan.end.scale == pytest.approx(plan.end_times * plan.side.scale)
    assert plan.end_box.high <= plan.side_box.low + 1e-9
    assert pocket_sheet(ANSWERS["air"], PAN, "mm", SHOP).halves[0].plan.in_a_row


def test_a_pocket_whose_shape_is_not_found_is_told() -> None:
    answer = ANSWERS["air"]
    wrong = Held(tuple(replace(p, volume_l=1.1 * p.volume_l) for p in answer.held.pockets))
    sheet = pocket_sheet(replace(answer, held=wrong), PAN, "mm", SHOP)
    assert sheet.notes == ("the picture leaves out 1 pocket, 22.9 L in all; the figures have them",)
    assert not areas(sheet.marks, ink.AIR)


def test_swing_makes_no_difference_to_the_picture() -> None:
    part, at, show = ATTITUDES["air in three bays"]
    straight = pocket(part, at._replace(swing_rad=0.0))
    one, other = (pocket_sheet(a, part, show, SHOP) for a in (ANSWERS["air in three bays"], straight))
    assert words(labels(one.marks)) == words(labels(other.marks))


def test_words_in_a_row_are_dropped_from_the_end_but_for_those_that_must_stay() -> None:
    said = [Said(f"air {k} gal", (10.0 * k, 50.0)) for k in range(9)] + [
        Said("bleed hole", (0.0, 50.0), must=True)
    ]
    kept = labels(said_below(said, 40.0, (0.0, 360.0)))
    assert [label.words for label in kept] == ["air 0 gal", "air 1 gal", "air 2 gal", "bleed hole"]
    for one, other in itertools.combinations(kept, 2):
        assert not box_of(one).overlaps(box_of(other))
    assert said_below([], 40.0, (0.0, 360.0)) == ()


# Maps


def chart_of(air: Floats, carry: Floats, fits: NDArray[np.bool_] | None = None) -> PocketMap:
    tilts = np.linspace(-90.0, 90.0, air.shape[0]) * RAD_PER_DEGREE
    rolls = np.linspace(-180.0, 180.0, air.shape[1]) * RAD_PER_DEGREE
    return PocketMap(tilts, rolls, air, carry, fits)


def charted(name: str) -> tuple[PocketAnswer, Part, Show]:
    """Return an answer with a map: for P the pan's own closed form is not needed, any map will do."""
    tilt, roll = np.meshgrid(np.linspace(-90, 90, 37), np.linspace(-180, 180, 73), indexing="ij")
    air = np.clip(20.0 * -np.cos(np.radians(roll)) * np.cos(np.radians(tilt)), 0.0, None)
    carry = np.clip(20.0 * np.cos(np.radians(roll)) * np.cos(np.radians(tilt)), 0.0, None)
    fits = (np.abs(tilt) < 30.0) & (np.abs(np.abs(roll) - 90.0) < 40.0)
    best = WayUp(angles(10.0, 90.0), 0.0, 0.0, 0.02)
    plain = replace(pocket(PAN, Angles()), best=best)
    upright = WayUp(angles(0.0, 90.0), 0.0, 0.0, 0.02)
    lost = np.zeros_like(fits)
    few = np.full_like(air, 0.02)
    made: dict[str, tuple[PocketAnswer, Show]] = {
        "in a tank": (replace(plain, tank="deep coat", map=chart_of(air, carry, fits)), "ft-in"),
        "anywhere": (replace(plain, map=chart_of(air, carry)), "mm"),
        "nowhere": (replace(plain, tank="deep coat", map=chart_of(air, carry, lost), best=None), "mm"),
        "a little": (replace(plain, map=chart_of(few, few), best=WayUp(Angles(), 0.02, 0.0, 0.02)), "mm"),
        "nothing": (replace(plain, map=chart_of(0.0 * few, 0.0 * few)), "ft-in"),
        "one tilt": (replace(plain, tank="pit", map=_cut(chart_of(air, carry, fits)), best=upright), "mm"),
    }
    answer, show = made[name]
    return answer, PAN, show


def _cut(chart: PocketMap) -> PocketMap:
    """Return the map of a part that may not be tilted."""
    assert chart.fits is not None
    k = slice(len(chart.tilts_rad) // 2, len(chart.tilts_rad) // 2 + 1)
    return PocketMap(chart.tilts_rad[k], chart.rolls_rad, chart.air_l[k], chart.carry_out_l[k], chart.fits[k])


CHARTS = ("in a tank", "anywhere", "nowhere", "a little", "nothing", "one tilt")


def map_marks(name: str) -> ink.Marks:
    answer, part, show = charted(name)
    assert answer.map is not None
    return pocket_map.map_sheet(answer, answer.map, part, show, SHOP)


@pytest.mark.parametrize("name", CHARTS)
def test_a_maps_words_are_large_do_not_overlap_and_stay_on_the_sheet(name: str) -> None:
    check_readable(labels(map_marks(name)))


def test_a_map_tells_the_best_way_and_what_is_held_there() -> None:
    said = words(labels(map_marks("in a tank")))
    for line in (
        "+x end up 10 deg, rolled 90 deg, +y side up",
        "air nothing, carry-out nothing",
        "0.005 gal at most",
        "air nothing, carry-out 5.49 gal",
        "BEST WAY UP",
    ):
        assert line in said
    assert said.count("best") == 3, "in the panel and on both maps"
    assert said.count("as drawn") == 3
    assert "NO WAY UP" in words(labels(map_marks("nowhere")))
    assert words(labels(map_marks("a little"))).count("best, as drawn") == 2


def test_where_it_fits_is_outlined_heavily() -> None:
    def heavy(name: str) -> list[Area]:
        return [m for m in map_marks(name) if isinstance(m, Area) and m.line == ink.INK and m.width_pt > 2.5]

    assert len(heavy("in a tank")) == 2
    assert all(len(area.rings) == 2 for area in heavy("in a tank")), "one way round and the other"
    assert heavy("anywhere") == []
    assert all(not area.rings for area in heavy("nowhere"))


def area(ring: Floats) -> float:
    x, y = ring.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2.0


def test_bands_lie_where_the_values_are() -> None:
    across, up = np.linspace(0.0, 10.0, 11), np.linspace(-4.0, 4.0, 5)
    slope = np.repeat(across[:, None], 5, axis=1)
    (ring,) = rings_between(across, up, slope, 2.5, 7.0)
    assert area(ring) == pytest.approx(4.5 * 8.0)
    assert (ring[:, 0].min(), ring[:, 0].max()) == pytest.approx((2.5, 7.0))
    (line,) = line_at(across, up, slope, 2.5)
    assert line[:, 0] == pytest.approx(np.full(len(line), 2.5))
    # A peak in the middle: outside it a ring with a hole, which runs the other way round.
    peak = np.zeros((11, 5))
    peak[5, 2] = 1.0
    rings = sorted(rings_between(across, up, peak, -1.0, 0.5), key=area)
    assert len(rings) == 2
    assert area(rings[0]) < 0.0 < area(rings[1])
    assert area(rings[1]) == pytest.approx(80.0)
    assert rings_between(across, up, peak, 2.0, 3.0) == ()


@pytest.mark.parametrize("show", ["mm", "ft-in"])
@pytest.mark.parametrize("most_l", [0.0, 0.004, 0.04, 0.06, 0.3, 7.0, 435.0, 90_000.0])
def test_bands_begin_at_a_spoonful_and_at_round_figures(most_l: float, show: Show) -> None:
    levels = levels_l(most_l, show)
    assert levels[0] == (0.05 if most_l > 0.05 else 0.005)
    assert len(levels) <= 6
    assert list(levels) == sorted(levels)
    assert all(level < most_l for level in levels[1:]), "each of them is reached"
    unit = LITRES_PER_GALLON if show == "ft-in" else 1.0
    for level in levels[1:]:
        mantissa = level / unit / 10.0 ** math.floor(math.log10(level / unit) + 1e-9)
        assert min(abs(mantissa - round_one) for round_one in (1.0, 2.0, 5.0)) < 1e-9
    if most_l > 1.0:
        assert len(levels) >= 4


def lightness(colour: str) -> float:
    """CIE L*: CIE 15:2004, Colorimetry; sRGB: IEC 61966-2-1:1999."""
    rgb = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255.0
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    luminance = float(linear @ [0.2126, 0.7152, 0.0722])
    return 116.0 * luminance ** (1.0 / 3.0) - 16.0


@pytest.mark.parametrize("kind", ["air", "liquid"])
def test_darker_is_more_on_a_grey_copy_too(kind: PocketKind) -> None:
    steps = [lightness(colour) for colour in (ink.PAPER, *colours(kind, 6))]
    # Two greys that lie together are told apart from about 2 of L* on; across a room from more.
    assert all(one - other >= 5.0 for one, other in itertools.pairwise(steps))


def test_pockets_stand_out_from_metal_and_liquid_on_a_grey_copy() -> None:
    shades = sorted(lightness(colour) for colour in (ink.AIR, ink.LIQUID, ink.METAL, ink.PAPER))
    assert all(b - a >= 8.0 for a, b in itertools.pairwise(shades))
    assert lightness(ink.AIR_LINE) <= lightness(ink.AIR) - 30.0


# In the tank


def deep_tank() -> Tank:
    size = (1300.0, 900.0, 1000.0)
    return Tank("deep coat", box(size), size, Liquid("coat", 1.02), Rules(25.0, 50.0, 50.0, 100.0))


def test_the_dip_picture_shows_the_air_and_says_what_comes_out() -> None:
    answer = dip(TRAYS, deep_tank(), angles=Angles())
    assert isinstance(answer, Fits)
    drawing = drawn(answer, TRAYS, deep_tank(), "mm")
    said = words(labels(drawing.marks()))
    assert "air 30.9 L" in said
    assert "carries out 30.9 L" in said
    assert len(areas(drawing.marks(), ink.AIR)) == 2, "in the side view and in the end view"
    assert {shape.pocket.kind for shape in drawing.scene.pockets} == {"air"}
    bubble = drawing.scene.pockets[0].solid.vertices_mm
    # Hung on its bottom clearance of 50 mm it is open down there.
    assert (bubble[:, 2].min(), bubble[:, 2].max()) == pytest.approx((50.0, 190.0), abs=1e-3)
    names = [name for name, _, _ in space_photo.space_scene(drawing.scene, 1.5).meshes]
    assert "air" in names
    assert "through" in names
    assert "part" not in names


def test_a_part_that_holds_nothing_is_drawn_as_ever() -> None:
    part = made("plate", "plate", size=(500.0, 300.0, 10.0))
    answer = dip(part, deep_tank(), angles=Angles())
    drawing = drawn(answer, part, deep_tank(), "mm")
    assert drawing.scene.pockets == ()
    assert not any("carries out" in line or "air" in line for line in words(labels(drawing.marks())))
    assert "part" in [name for name, _, _ in space_photo.space_scene(drawing.scene, 1.5).meshes]


def test_both_halves_stand_side_by_side_in_space() -> None:
    parts = [half.here for half in pocket_sheet(ANSWERS["both, tilted"], TRAYS, "mm", SHOP).halves]
    scene = space_photo.in_space_side_by_side(parts, 1.6)
    shown = {name: vertices for name, vertices, _ in scene.meshes}
    assert set(shown) == {"through", "air", "caught"}
    eye = scene.camera.eye_mm - scene.camera.focus_mm
    right, _ = space_photo.view_axes(eye / np.linalg.norm(eye))
    across = {name: (vertices - scene.camera.focus_mm) @ right for name, vertices in shown.items()}
    half = scene.camera.half_height_mm * 1.6
    assert -2.0 * half <= across["through"].min() <= across["air"].min()
    assert across["air"].max() < 0.0 < across["caught"].min()
    assert across["caught"].max() <= across["through"].max() <= 2.0 * half


def test_a_space_closed_by_water_is_drawn_as_air() -> None:
    """A box of 300 x 200 x 100 mm, 2 mm wall, whose only hole is 2 mm wide: water closes it."""
    shell = build("tube", {"size": (300.0, 200.0, 100.0), "wall": 2.0, "ends": "closed"})
    part = weighed("float", drilled(shell, Hole((150.0, 100.0, 0.0), "z", 2.0)).solid, 2.7)
    answer = pocket(part, angles(0.0, 0.0))
    here = hung(
        part, Pose("as hung", "part", rotation_from(answer.angles), np.zeros(3)), only(answer.held, "air")
    )
    (shape,) = here.pockets
    assert np.ptp(shape.solid.vertices_mm, axis=0) == pytest.approx([296.0, 196.0, 96.0], abs=1e-3)


# The file


def count(path: Path, colour: str) -> int:
    pixels = np.asarray(Image.open(path).convert("RGB"))
    wanted = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
    return int((pixels == wanted).all(axis=2).sum())


def draw_into(name: str, path: Path) -> tuple[str, ...]:
    part, _, show = ATTITUDES[name]
    with Photographer() as photographer:
        return draw_pocket(ANSWERS[name], part, show, SHOP, path, photographer)


@pytest.mark.parametrize(("name", "air"), [("both", True), ("liquid in three bays", False)])
def test_a_picture_comes_out_with_or_without_opengl(name: str, air: bool, tmp_path: Path) -> None:
    path = tmp_path / "picture.png"
    notes = draw_into(name, path)
    assert notes in ((), (space_photo.HOW_TO_DRAW_IN_SPACE,))
    assert Image.open(path).size == (2200, 1700)
    assert (count(path, ink.AIR) > 5000) is air
    assert count(path, ink.LIQUID) > 5000
    assert count(path, ink.METAL) > 5000
    assert [file.name for file in tmp_path.iterdir()] == ["picture.png"]


def test_without_opengl_each_half_is_seen_from_above(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    program = tmp_path / "program.py"
    program.write_text("import os, signal; os.kill(os.getpid(), signal.SIGSEGV)")
    monkeypatch.setattr(space_photo, "PROGRAM", program)
    path = tmp_path / "picture.svg"
    assert draw_into("both", path) == (space_photo.HOW_TO_DRAW_IN_SPACE,)
    assert path.read_text().startswith("<?xml")
    picture = tmp_path / "picture.png"
    draw_into("both", picture)
    with_photo = tmp_path / "photo.png"
    monkeypatch.undo()
    draw_into("both", with_photo)
    # From above the trays hide all of the part but their rims.
    assert count(picture, ink.AIR) > 1.5 * count(with_photo, ink.AIR)


def test_a_map_comes_out_the_same_twice(tmp_path: Path) -> None:
    answer, part, show = charted("in a tank")
    for name in ("a.png", "b.png"):
        with Photographer() as photographer:
            assert draw_pocket(answer, part, show, SHOP, tmp_path / name, photographer) == ()
    assert (tmp_path / "a.png").read_bytes() == (tmp_path / "b.png").read_bytes()
    for kind in ("air", "liquid"):
        assert all(count(tmp_path / "a.png", colour) > 1000 for colour in colours(kind, 5))  # type: ignore[arg-type]
