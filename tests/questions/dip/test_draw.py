"""The picture of a dip: true to scale, readable, written whole, and there with or without OpenGL."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from conftest import NEVER_ENDS_S
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.figure import Figure
from PIL import Image

from fitcheck.draw import captions, ink, layout, space_photo
from fitcheck.draw.dimension import spread
from fitcheck.draw.ink import Area, Label, Stroke, box_of, text_size, wrapped
from fitcheck.draw.outline import END, PLAN, SIDE, hatched, rings_of, silhouette, visible_edges
from fitcheck.draw.scene import gaps, nearest_standing, past_the_room, room_left
from fitcheck.draw.space_photo import camera_for, view_axes
from fitcheck.questions.dip.answer import (
    Advice,
    Cure,
    Deciding,
    DipAnswer,
    DoesNotFit,
    Effort,
    Fits,
    LeastLevel,
    MeasureAgain,
    NotFound,
    Spare,
)
from fitcheck.questions.dip.draw import draw_dip, drawn
from fitcheck.questions.dip.draw_scene import scene_of
from fitcheck.questions.dip.draw_window import view_dip
from fitcheck.things.fill import Fill
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.proof import Proof
from fitcheck.things.shop import Show
from fitcheck.things.solid import Floats, Solid
from fitcheck.things.tank import Rules, Standing, Tank
from fitcheck.words.errors import Refused
from fitcheck.words.units import read_angle, read_length

FACES = [
    [0, 1, 3],
    [0, 3, 2],
    [4, 6, 7],
    [4, 7, 5],
    [0, 4, 5],
    [0, 5, 1],
    [2, 3, 7],
    [2, 7, 6],
    [0, 2, 6],
    [0, 6, 4],
    [1, 5, 7],
    [1, 7, 3],
]
RULES = Rules(
    side_clearance_mm=25.0, bottom_clearance_mm=50.0, cover_mm=50.0, freeboard_mm=100.0, tape_tank_mm=3.0
)
NO_PROOF = Proof(np.zeros((1, 3)), np.ones((1, 3)))


def corners(low: tuple[float, ...], high: tuple[float, ...]) -> Floats:
    return np.array(list(itertools.product(*zip(low, high, strict=True))), dtype=float)


def box(low: tuple[float, ...], high: tuple[float, ...]) -> Solid:
    return Solid(corners(low, high), np.array(FACES), "box")


def inches(*sizes: str) -> tuple[float, ...]:
    return tuple(read_length(size) for size in sizes)


def box_part(name: str, size: tuple[float, ...]) -> Part:
    return part_of(name, box((0.0, 0.0, 0.0), size))


def part_of(name: str, solid: Solid) -> Part:
    size = tuple(float(v) for v in np.ptp(solid.vertices_mm, axis=0))
    return Part(name, solid, solid, 10.0, solid.vertices_mm.mean(axis=0), size)


def box_tank(name: str, size: tuple[float, ...]) -> Tank:
    return Tank(name, box((0.0, 0.0, 0.0), size), size, Liquid("etch", 1.03), RULES)


LONG = box_tank("long etch", inches("24 ft", "16 in", "24 in"))
DEEP = box_tank("deep coat", (1828.8, 762.0, 1219.2))
VAT = box_tank("small vat", (1200.0, 600.0, 500.0))


def hung(part: Part, tank: Tank, tilt: str = "0 deg", roll: str = "0 deg", swing: str = "0 deg") -> Pose:
    """Hang a part in the middle of a tank, on its bottom clearance."""
    rotation = rotation_from(Angles(*(read_angle(text) for text in (tilt, roll, swing))))
    turned = part.solid.vertices_mm @ rotation.T
    low, high = turned.min(axis=0), turned.max(axis=0)
    shift = np.array(tank.size_mm) / 2.0 - (low + high) / 2.0
    shift[2] = tank.rules.bottom_clearance_mm - low[2]
    return Pose("tank", "part", rotation, shift)


def fill_for(part: Part, tank: Tank, pose: Pose) -> Fill:
    level = float(pose.apply(part.solid.vertices_mm)[:, 2].max()) + tank.rules.cover_mm
    area = tank.size_mm[0] * tank.size_mm[1]
    return Fill(
        level_mm=level,
        from_rim_mm=tank.depth_mm - level,
        freeboard_mm=tank.depth_mm - level,
        liquid_l=level * area / 1e6 - 5.0,
        level_before_mm=level - 5e6 / area,
        rise_mm=5e6 / area,
        displaced_l=5.0,
        overflow_l=0.0,
    )


def fits(part: Part, tank: Tank, pose: Pose) -> Fits:
    fill = fill_for(part, tank, pose)
    return Fits(
        part.name,
        tank.name,
        "",
        Spare(5.0, 5.1, 2.0, 8.0),
        Effort(10, 0.0),
        Advice(pose, 3.2, fill, Held(()), -50.0, part.mass_kg),
        pose,
        LeastLevel(fill.level_mm, fill.level_mm - 0.1, pose),
    )


def refused(part: Part, tank: Tank, pose: Pose) -> DoesNotFit:
    cures = (Cure("length", 150.0), Cure("side_clearance", 20.0))
    spare = Spare(-75.0, -74.9, -78.0, -72.0)
    return DoesNotFit(part.name, tank.name, "", spare, Effort(9, 0.0), pose, NO_PROOF, cures=cures)


def bumpy(rows: int) -> Part:
    """Return an uneven ellipsoid of about 2 * rows * rows triangles."""
    turn = np.linspace(0.0, 2.0 * math.pi, rows, endpoint=False)
    down = np.linspace(0.0, math.pi, rows + 1)[1:-1]
    p, t = np.meshgrid(down, turn, indexing="ij")
    r = 1.0 + 0.06 * np.sin(7.0 * t) * np.sin(5.0 * p)
    ball = np.stack(
        [600 * r * np.sin(p) * np.cos(t), 250 * r * np.sin(p) * np.sin(t), 180 * r * np.cos(p)], -1
    )
    vertices = np.vstack([ball.reshape(-1, 3), [[0.0, 0.0, 180.0], [0.0, 0.0, -180.0]]])
    faces, last = [], (len(down) - 1) * rows
    for j in range(rows):
        k = (j + 1) % rows
        for i in range(0, last, rows):
            faces += [[i + j, i + rows + j, i + rows + k], [i + j, i + rows + k, i + k]]
        faces += [[len(vertices) - 2, j, k], [len(vertices) - 1, last + k, last + j]]
    return part_of("bumpy casting", Solid(vertices, np.array(faces), "bumpy"))


def section() -> Part:
    """Return a shell of 1.6 mm, one face open, two baffles."""
    from manifold3d import Manifold

    body = Manifold.cube((1500.0, 700.0, 420.0))
    body -= Manifold.cube((1496.8, 703.4, 416.8)).translate((1.6, 1.6, 1.6))
    for x in (500.0, 1000.0):
        body += Manifold.cube((1.6, 698.4, 418.0)).translate((x, 1.0, 1.0))
    mesh = body.to_mesh64()
    solid = Solid(mesh.vert_properties[:, :3], mesh.tri_verts.astype(np.int64), "section")
    return part_of("fuel-tank section", solid)


def with_standing(tank: Tank) -> Tank:
    block = Standing("B3", box((700.0, 20.0, 0.0), (1100.0, 200.0, 450.0)), 20.0)
    drain = Standing("drain", box((0.0, 0.0, 0.0), (150.0, 100.0, 75.0)))
    return replace(tank, blocks=(block,), fittings=(drain,))


def cases() -> dict[str, tuple[DipAnswer, Part, Tank, Show]]:
    made: dict[str, tuple[DipAnswer, Part, Tank, Show]] = {}

    def put(name: str, part: Part, tank: Tank, pose: Pose, show: Show) -> None:
        made[name] = (fits(part, tank, pose), part, tank, show)

    blank = box_part("spreader blank", inches("30 in", "4 in", "2 in"))
    put("level in a long tank", blank, LONG, hung(blank, LONG), "ft-in")
    boom = box_part("boom spar", inches("15 ft 6 in", "6 in", "4 in"))
    put("tilted in a long tank", boom, LONG, hung(boom, LONG, "3 deg"), "ft-in")
    put("other end up", boom, LONG, hung(boom, LONG, "-2.4 deg", swing="180 deg"), "mm")
    hatch = box_part("hatch frame", inches("36 in", "19 1/2 in", "1 1/2 in"))
    put("rolled", hatch, LONG, hung(hatch, LONG, roll="49.6 deg"), "ft-in")
    put("in mm", section(), DEEP, hung(section(), DEEP, "8 deg", "90 deg"), "mm")
    put("bumpy", bumpy(100), DEEP, hung(bumpy(100), DEEP, "20 deg", "30 deg", "16 deg"), "ft-in")
    plate = box_part("rib", inches("30 in", "20 in", "1 1/2 in"))
    put("swung across", plate, VAT, hung(plate, DEEP, "5 deg", "-10 deg", "80 deg"), "ft-in")
    step = box_part("mast step", (400.0, 200.0, 150.0))
    put("blocks", step, with_standing(VAT), hung(step, VAT, "-15 deg"), "mm")
    tall = box_tank("pit", (600.0, 600.0, 3000.0))
    mast = box_part(
        "post with a name that is longer than the sheet is wide, as happens", (2500.0, 60.0, 60.0)
    )
    put("on end in a pit", mast, tall, hung(mast, tall, "90 deg"), "mm")
    mast = box_part("mast section", inches("24 ft 4 in", "7 1/4 in", "4 1/8 in"))
    made["too long"] = (refused(mast, LONG, hung(mast, LONG)), mast, LONG, "ft-in")
    wide = box_part("tank section B", (2100.0, 700.0, 420.0))
    made["stands out"] = (refused(wide, DEEP, hung(wide, DEEP, "38 deg")), wide, DEEP, "mm")
    saddle = box_part("saddle section", inches("8 ft 9 in", "9 in", "12 in"))
    trough = box_tank("short spar trough", inches("12 ft 4 in", "14 in", "20 in"))
    pose = hung(saddle, trough)
    sides = (Deciding("length", 0.4), Deciding("height", 0.9))
    tape = Spare(0.5, 0.6, -2.0, 3.0)
    advice = fits(saddle, trough, pose).advice
    again = MeasureAgain(saddle.name, trough.name, "", tape, Effort(10, 0.0), advice, sides)
    made["measure again"] = (again, saddle, trough, "ft-in")
    lost = NotFound(
        "odd", "small vat", "", tape, Effort(9, 0.1), hung(step, VAT, "50 deg"), "allow more tilt"
    )
    made["not found"] = (lost, step, VAT, "mm")
    return made


CASES = cases()
named_case = pytest.mark.parametrize("name", CASES)


def labels(marks: ink.Marks) -> list[Label]:
    return [mark for mark in marks if isinstance(mark, Label)]


def volume(triangles: Floats) -> float:
    a, b, c = np.moveaxis(triangles, 1, 0)
    return float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6.0


def sheet_labels(name: str) -> list[Label]:
    answer, part, tank, show = CASES[name]
    drawing = drawn(answer, part, tank, show, "Quayside finishing bay")
    third = layout.third_name("In space,\ntank cut short", drawing.plan.space_box)
    return [*labels(drawing.marks()), third]


# What is drawn where


@named_case
def test_words_do_not_overlap_and_stay_on_the_sheet(name: str) -> None:
    boxes = [(label.words, box_of(label)) for label in sheet_labels(name)]
    width, height = layout.SHEET_PT
    for words, place in boxes:
        assert place.left >= 12.0, words
        assert place.right <= width - 12.0, words
        assert place.low >= 12.0, words
        assert place.high <= height - 12.0, words
    for (words, place), (other_words, other) in itertools.combinations(boxes, 2):
        # Words on neighbouring lines touch exactly, but for rounding.
        smaller = replace(place, low=place.low + 0.01, high=place.high - 0.01)
        assert not smaller.overlaps(other), (words, other_words)


@named_case
def test_print_is_large_enough_to_read_from_two_steps_away(name: str) -> None:
    found = sheet_labels(name)
    assert min(label.size_pt for label in found) >= 9.5
    verdict = next(label for label in found if label.words == CASES[name][0].verdict.upper())
    assert verdict.size_pt >= 24.0
    fill_line = [label for label in found if label.words.startswith("FILL LINE")]
    assert all(label.size_pt >= 17.0 and label.bold for label in fill_line)
    assert len(fill_line) == (0 if isinstance(CASES[name][0], DoesNotFit | NotFound) else 1)


def test_tags_stand_over_the_tank() -> None:
    for name, words in (("tilted in a long tank", "+x end up 3 deg"), ("rolled", "top rolled 49.6 deg")):
        marks = drawn(*CASES[name]).marks()
        tag = box_of(next(label for label in labels(marks) if label.words == words))
        walls = [np.vstack(m.rings) for m in marks if isinstance(m, Area) and m.fill == ink.WALL]
        rim = max(ring[:, 1].max() for ring in walls if ring[:, 1].max() < tag.high)
        assert tag.low >= rim + 4.0


def test_sizes_are_said_in_the_shops_unit() -> None:
    words = [label.words for label in sheet_labels("rolled")]
    for expected in ("24 ft inside", "1 ft 4 in inside", "2 ft\ndeep", "top rolled 49.6 deg"):
        assert expected in words
    assert any(line.endswith("down from the rim") and " in " in line for line in words)
    assert not any(" mm" in line for line in words)
    assert any(
        "1500" not in line and " mm inside" in line for line in [w.words for w in sheet_labels("in mm")]
    )


def test_the_end_that_is_up_is_named() -> None:
    assert "+x end up 3 deg" in [label.words for label in sheet_labels("tilted in a long tank")]
    assert "-x end up 2.4 deg" in [label.words for label in sheet_labels("other end up")]
    assert captions.pose_words(Pose("t", "p", np.eye(3), np.zeros(3))) == "level, as drawn"


def test_short_gaps_say_what_is_missing() -> None:
    words = [label.words for label in sheet_labels("too long")]
    # 24 ft 4 in in 24 ft: 2 in past each end. The longer tank is rounded up: 150 mm is 5 29/32 in.
    assert words.count("2 in\npast wall") == 2
    assert "tank 5 15/16 in longer" in words
    assert captions.STANDING_CAUTION in words


def test_views_of_a_tank_that_is_not_long_share_one_scale_and_a_long_tanks_do_not() -> None:
    for name, one_scale in (("in mm", True), ("rolled", False)):
        words = [label.words for label in sheet_labels(name)]
        assert ("End view from the right" in words) is one_scale
        assert any("x larger" in line for line in words) is not one_scale


def test_the_drawn_part_is_to_scale() -> None:
    answer, part, tank, show = CASES["level in a long tank"]
    metal = [
        m for m in drawn(answer, part, tank, show).marks() if isinstance(m, Area) and m.fill == ink.METAL
    ]
    walls = [m for m in drawn(answer, part, tank, show).marks() if isinstance(m, Area) and m.fill == ink.WALL]
    for view, across, up in zip((0, 1), (0, 1), (2, 2), strict=True):
        drawn_part = np.ptp(np.vstack(metal[view].rings), axis=0)
        drawn_tank = np.ptp(np.vstack(walls[view].rings), axis=0) - [2.0 * 7.0, 7.0]
        assert drawn_part[0] / drawn_part[1] == pytest.approx(part.size_mm[across] / part.size_mm[up])
        assert drawn_part[0] / drawn_tank[0] == pytest.approx(part.size_mm[across] / tank.size_mm[across])
        assert drawn_part[1] / drawn_tank[1] == pytest.approx(part.size_mm[up] / tank.size_mm[up])


# Outlines


turns = st.tuples(*[st.floats(-math.pi, math.pi)] * 3)


@settings(max_examples=40, deadline=None)
@given(turns)
def test_the_shadow_of_a_box_has_the_area_that_its_faces_show(angles: tuple[float, float, float]) -> None:
    # A convex body's shadow is half the sum of its faces' shadows (Cauchy; see H. G. Eggleston,
    # Convexity, Cambridge 1958, section 5.6): for a box the sum over axes of face area times |cosine|.
    rotation = rotation_from(Angles(*angles))
    turned = box((0.0, 0.0, 0.0), (300.0, 200.0, 100.0)).moved(rotation, np.zeros(3))
    areas = np.array([200.0 * 100.0, 300.0 * 100.0, 300.0 * 200.0])
    for view in (SIDE, END, PLAN):
        expected = float(areas @ np.abs(rotation[view.toward]))
        assert silhouette(turned, view).area() == pytest.approx(expected, rel=1e-9)


@settings(max_examples=12, deadline=None)
@given(st.tuples(*[st.floats(0.3, 1.2)] * 3))
def test_nine_edges_of_a_turned_box_are_seen_and_three_are_hidden(angles: tuple[float, float, float]) -> None:
    rotation = rotation_from(Angles(*angles))
    size = np.array([300.0, 200.0, 100.0])
    turned = box((0.0, 0.0, 0.0), tuple(size)).moved(rotation, np.zeros(3))
    pieces = visible_edges(turned, SIDE, 0.5)
    seen = np.linalg.norm(pieces[:, 1] - pieces[:, 0], axis=1).sum()
    # Of the four edges along each axis the one at the far corner is hidden.
    along = np.linalg.norm(rotation[[0, 2]] * size, axis=0)
    # An edge is dropped, or kept, up to two cells from where it meets a nearer face's outline.
    assert seen == pytest.approx(3.0 * along.sum(), abs=12 * 2.0)


def test_a_nearer_sheet_hides_what_is_behind_it_and_an_open_face_does_not() -> None:
    part = section()
    closed = visible_edges(part.solid, SIDE, 1.0)
    upright = closed[np.abs(closed[:, 0, 0] - closed[:, 1, 0]) < 1e-6]
    at = np.unique(upright[:, 0, 0].round(1))
    assert not ((at > 400.0) & (at < 1100.0)).any()
    # The same from the other side, where the face is open: turned half a turn about the upright.
    half = rotation_from(Angles(swing_rad=math.pi))
    opened = visible_edges(part.solid.moved(half, np.zeros(3)), SIDE, 1.0)
    upright = opened[np.abs(opened[:, 0, 0] - opened[:, 1, 0]) < 1e-6]
    at = -np.unique(upright[:, 0, 0].round(1))
    assert {500.0, 1000.0} <= {float(v) for v in at.round(1)}


def test_a_plate_in_front_hides_the_edges_behind_it_only() -> None:
    # A box 100 wide and 60 high, its face at y 50; before it, at y 0 to 10, a plate over x 30 to 70.
    back, plate = box((0.0, 50.0, 0.0), (100.0, 90.0, 60.0)), box((30.0, 0.0, -20.0), (70.0, 10.0, 80.0))
    both = Solid(
        np.vstack([back.vertices_mm, plate.vertices_mm]),
        np.vstack([back.triangles, plate.triangles + len(back.vertices_mm)]),
        "both",
    )
    pieces = visible_edges(both, SIDE, 0.5)
    seen = float(np.linalg.norm(pieces[:, 1] - pieces[:, 0], axis=1).sum())
    # The plate's outline whole; of the box's two level edges the 40 behind the plate are hidden.
    # Each edge that ends at the plate's outline may be out by two cells.
    assert seen == pytest.approx(2.0 * (40.0 + 100.0) + 2.0 * 60.0 + 2.0 * (100.0 - 40.0), abs=4 * 2 * 0.5)


def test_a_hole_right_through_stays_open() -> None:
    from manifold3d import Manifold

    body = Manifold.cube((100.0, 20.0, 60.0)) - Manifold.cube((40.0, 40.0, 20.0)).translate((30, -10, 20))
    mesh = body.to_mesh64()
    frame = Solid(mesh.vert_properties[:, :3], mesh.tri_verts.astype(np.int64), "frame")
    assert silhouette(frame, SIDE).area() == pytest.approx(100.0 * 60.0 - 40.0 * 20.0)
    assert len(rings_of(silhouette(frame, SIDE))) == 2


def test_hatching_covers_a_region_evenly() -> None:
    outer = np.array([[0.0, 0.0], [90.0, 0.0], [90.0, 60.0], [0.0, 60.0]])
    hole = np.array([[30.0, 20.0], [30.0, 40.0], [60.0, 40.0], [60.0, 20.0]])
    for rising in (True, False):
        lines = hatched([outer, hole], 0.5, rising=rising)
        length = sum(float(np.linalg.norm(line[1] - line[0])) for line in lines)
        # Lines a step apart have length area / step; each end is out by at most a step.
        assert length * 0.5 == pytest.approx(90.0 * 60.0 - 30.0 * 20.0, rel=0.01)
        slopes = {round(float((b - a)[1] / (b - a)[0]), 6) for a, b in lines}
        assert slopes == {1.0 if rising else -1.0}


# Gaps


def test_gaps_of_a_box_are_what_is_left_on_each_side() -> None:
    part = box_part("b", (400.0, 200.0, 150.0))
    pose = Pose("tank", "part", np.eye(3), np.array([100.0, 20.0, 60.0]))
    scene = scene_of(fits(part, VAT, pose), part, VAT)
    expected = {"left": 100.0, "right": 700.0, "near": 20.0, "far": 380.0, "floor": 60.0, "rim": 290.0}
    for side, mm in expected.items():
        found = dict(gaps(scene))[side]
        assert found is not None
        assert found.mm == pytest.approx(mm)
        assert found.short_mm == pytest.approx(5.0 if side == "near" else 0.0)


def test_the_gap_to_a_sloping_wall_is_measured_level_and_its_clearance_square_to_it() -> None:
    # A trough whose far wall leans out 3 in 4: (y, z) from (400, 0) to (700, 400).
    ring = [(0.0, 0.0), (400.0, 0.0), (700.0, 400.0), (0.0, 400.0)]
    vertices = np.array([[x, y, z] for x in (0.0, 1000.0) for y, z in ring])
    hull = [[0, 2, 1], [0, 3, 2], [4, 5, 6], [4, 6, 7]]
    for i in range(4):
        j = (i + 1) % 4
        hull += [[i, j, 4 + j], [i, 4 + j, 4 + i]]
    inside = Solid(vertices, np.array(hull), "trough")
    tank = Tank("trough", inside, (1000.0, 700.0, 400.0), Liquid("etch"), RULES, is_box=False)
    part = box_part("b", (100.0, 100.0, 40.0))
    scene = scene_of(fits(part, tank, Pose("tank", "part", np.eye(3), [450.0, 245.0, 60.0])), part, tank)
    far = dict(gaps(scene))["far"]
    assert far is not None
    # The wall at the part's low corner (z 60) is at y 445: 100 from y 345, 80 square to it.
    assert far.mm == pytest.approx(100.0)
    assert far.at_mm[2] == pytest.approx(60.0)
    assert far.short_mm == 0.0
    room = room_left(tank, END)
    left, low, right, high = room.bounds()
    assert (left, low, high) == pytest.approx((25.0, 50.0, 250.0))
    # On the line 25 mm inside the leaning wall, 25 / 0.8 further in, at the height of the limit.
    assert right == pytest.approx(400.0 + 0.75 * 250.0 - 25.0 / 0.8)


def test_what_reaches_past_the_room_is_what_is_hatched() -> None:
    answer, part, tank, _ = CASES["too long"]
    scene = scene_of(answer, part, tank)
    over = part.size_mm[0] - (tank.size_mm[0] - 2.0 * RULES.side_clearance_mm)
    assert past_the_room(scene, SIDE).area() == pytest.approx(over * part.size_mm[2], rel=1e-6)
    assert past_the_room(scene, END).is_empty()
    kept, past = space_photo.part_shells(scene)
    assert kept is not None
    assert past is not None
    assert np.ptp(kept.vertices_mm[:, 0]) == pytest.approx(part.size_mm[0] - over, abs=0.03)
    # The two pieces are the whole part, and nothing of what is past it lies along the part's middle.
    volumes = [volume(shell.vertices_mm[shell.triangles]) for shell in (kept, past)]
    assert sum(volumes) == pytest.approx(math.prod(part.size_mm), rel=1e-9)
    assert (np.abs(past.vertices_mm[:, 0] - tank.size_mm[0] / 2.0) > 0.45 * tank.size_mm[0]).all()


def test_the_nearest_block_is_told() -> None:
    answer, part, tank, _ = CASES["blocks"]
    found = nearest_standing(scene_of(answer, part, tank))
    # Two boxes, 2 apart in y: the mast step stands y 200 to 400, the block ends at y 200.
    assert found is not None
    name, mm = found
    assert name == "B3"
    x = scene_of(answer, part, tank).part.vertices_mm[:, 0].max()
    assert mm == pytest.approx(max(0.0, 700.0 - float(x)), abs=1e-6)
    assert nearest_standing(scene_of(*CASES["in mm"][:3])) is None


# Words on tiers


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(st.floats(0.0, 500.0), st.floats(1.0, 60.0)), min_size=1, max_size=7))
def test_spread_words_keep_apart_in_order_and_as_near_as_can_be(things: list[tuple[float, float]]) -> None:
    from scipy.optimize import minimize

    wanted, sizes = (list(column) for column in zip(*things, strict=True))
    found = spread(wanted, sizes, -1e6, 1e6)
    order = sorted(range(len(wanted)), key=lambda i: wanted[i])
    for a, b in itertools.pairwise(order):
        assert found[b] - found[a] >= (sizes[a] + sizes[b]) / 2.0 - 1e-9
    apart = [
        {"type": "ineq", "fun": lambda x, a=a, b=b: x[b] - x[a] - (sizes[a] + sizes[b]) / 2.0}
        for a, b in itertools.pairwise(order)
    ]
    best = minimize(lambda x: float(((x - wanted) ** 2).sum()), found, constraints=apart, method="SLSQP")
    ours = float(((np.array(found) - wanted) ** 2).sum())
    # scipy stops at about 1e-6 of what it minimises.
    assert ours <= float(best.fun) + 1e-5 * (1.0 + ours)


def test_spread_stays_between_its_limits_where_there_is_room() -> None:
    assert spread([0.0, 1.0], [10.0, 10.0], 0.0, 100.0) == pytest.approx([5.0, 15.0])
    assert spread([99.0, 100.0], [10.0, 10.0], 0.0, 100.0) == pytest.approx([85.0, 95.0])
    assert spread([50.0], [10.0], 0.0, 100.0) == pytest.approx([50.0])


def test_a_number_is_not_parted_from_its_unit() -> None:
    words = wrapped("+x end up 12 deg, rolled 25 deg, 1 ft 9 3/16 in down", 90.0, 14.0)
    assert "\n" in words
    for line in words.split("\n"):
        assert not line.startswith(("deg", "in", "ft"))
        assert not line[-1].isdigit()


def test_text_is_measured_as_it_is_printed() -> None:
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.font_manager import FontProperties

    figure = Figure(dpi=200)
    canvas = FigureCanvasAgg(figure)
    for words, size, bold in (("FILL LINE", 17.0, True), ("1 ft 9 3/16 in down from the rim", 14.0, False)):
        font = FontProperties(fname=ink.font_file(bold=bold), size=size)
        text = figure.text(0.0, 0.5, words, fontproperties=font)
        printed = text.get_window_extent(canvas.get_renderer()).width / 200.0 * 72.0
        # Printed letters are set to whole dots.
        assert text_size(words, size, bold=bold)[0] == pytest.approx(printed, rel=0.03)


# The file


def count(path: Path, colour: str) -> int:
    pixels = np.asarray(Image.open(path).convert("RGB"))
    wanted = [int(colour[i : i + 2], 16) for i in (1, 3, 5)]
    return int((pixels == wanted).all(axis=2).sum())


def fake_program(tmp_path: Path, text: str) -> Path:
    program = tmp_path / "program.py"
    program.write_text(text)
    return program


@pytest.mark.parametrize("name", ["rolled", "in mm", "stands out"])
def test_a_picture_comes_out_with_or_without_opengl(name: str, tmp_path: Path) -> None:
    answer, part, tank, show = CASES[name]
    path = tmp_path / "picture.png"
    notes = draw_dip(answer, part, tank, show, path)
    assert notes in {(), (space_photo.HOW_TO_DRAW_IN_SPACE,)}
    assert Image.open(path).size == (2200, 1700)
    assert count(path, ink.METAL) > 5000
    goes_under = isinstance(answer, Fits)
    assert (count(path, ink.LIQUID) > 5000) is goes_under
    assert (count(path, ink.WARNING) > 2000) is not goes_under
    assert [file.name for file in tmp_path.iterdir()] == ["picture.png"]


@pytest.mark.parametrize(
    "program",
    [
        pytest.param("import os, signal; os.kill(os.getpid(), signal.SIGSEGV)", id="ends the process"),
        pytest.param(
            "import io, sys, numpy; order = numpy.load(io.BytesIO(sys.stdin.buffer.read()));"
            "sys.stdout.buffer.write(bytes(3 * int(numpy.prod(order['size']))))",
            id="one colour",
        ),
        # It never ends by itself, so that the limit is reached on any machine.
        pytest.param("import signal; signal.pause()", id="dawdles"),
        pytest.param("print('no picture')", id="no picture"),
    ],
)
def test_without_opengl_a_view_from_above_is_drawn_and_one_line_says_what_to_install(
    program: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "out").mkdir()
    monkeypatch.setattr(space_photo, "PROGRAM", fake_program(tmp_path, program))
    monkeypatch.setattr(space_photo, "LONGEST_S", 1.0 if "pause" in program else NEVER_ENDS_S)
    answer, part, tank, show = CASES["rolled"]
    path = tmp_path / "out" / "picture.png"
    notes = draw_dip(answer, part, tank, show, path)
    assert len(notes) == 1
    assert "libegl1 libgl1-mesa-dri" in notes[0]
    assert "\n" not in notes[0]
    again = tmp_path / "out" / "again.svg"
    draw_dip(answer, part, tank, show, again)
    assert count(path, ink.LIQUID) > 5000
    assert again.read_text().startswith("<?xml")


def test_the_same_answer_is_drawn_the_same_twice(tmp_path: Path) -> None:
    answer, part, tank, show = CASES["too long"]
    for name in ("a.png", "b.png"):
        draw_dip(answer, part, tank, show, tmp_path / name)
    assert (tmp_path / "a.png").read_bytes() == (tmp_path / "b.png").read_bytes()


def test_a_picture_that_cannot_be_finished_leaves_the_old_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "picture.png"
    path.write_bytes(b"the old one")

    def full_disk(_figure: Figure, file: Path, **_named: object) -> None:
        file.write_bytes(b"half a picture")
        raise OSError("no space left on device")

    monkeypatch.setattr(Figure, "savefig", full_disk)
    answer, part, tank, show = CASES["level in a long tank"]
    with pytest.raises(Refused, match="no space left"):
        draw_dip(answer, part, tank, show, path)
    assert path.read_bytes() == b"the old one"
    assert [file.name for file in tmp_path.iterdir()] == ["picture.png"]


@pytest.mark.parametrize(
    ("where", "what"),
    [
        ("nowhere/picture.png", "no folder"),
        ("picture.gif", ".png"),
        ("picture", ".png"),
        ("is.png", "folder"),
    ],
)
def test_a_place_that_cannot_be_written_is_refused(where: str, what: str, tmp_path: Path) -> None:
    (tmp_path / "is.png").mkdir()
    answer, part, tank, show = CASES["level in a long tank"]
    with pytest.raises(Refused, match=what):
        draw_dip(answer, part, tank, show, tmp_path / where)
    assert [file.name for file in tmp_path.iterdir()] == ["is.png"]


# In space


def test_the_camera_sees_everything_and_no_more() -> None:
    points = corners((0.0, 0.0, 0.0), LONG.size_mm)
    for aspect in (0.5, 1.0, 2.7):
        camera = camera_for(points, aspect)
        eye = camera.eye_mm - camera.focus_mm
        right, up = view_axes(eye / np.linalg.norm(eye))
        x, y = (points - camera.focus_mm) @ right, (points - camera.focus_mm) @ up
        most = max(np.abs(x).max() / aspect, np.abs(y).max())
        assert 0.95 * camera.half_height_mm <= most <= camera.half_height_mm


def test_liquid_in_space_leaves_out_what_stands_in_it() -> None:
    answer, part, tank, _ = CASES["blocks"]
    scene = scene_of(answer, part, tank)
    shell = space_photo.liquid_shell(scene, (0.0, tank.size_mm[0]))
    assert shell is not None
    assert scene.fill is not None
    level = scene.fill.level_mm
    expected = 1200.0 * 600.0 * level - 400.0 * 180.0 * min(level, 450.0) - 150.0 * 100.0 * 75.0
    assert volume(shell.vertices_mm[shell.triangles]) == pytest.approx(expected, rel=1e-9)


def test_a_window_is_refused_in_one_line_where_there_is_no_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    with pytest.raises(Refused, match="no screen") as told:
        view_dip(*CASES["in mm"])
    assert "\n" not in str(told.value)


def test_a_window_that_dies_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DISPLAY", ":12345")
    program = fake_program(tmp_path, "import os, signal; os.kill(os.getpid(), signal.SIGSEGV)")
    monkeypatch.setattr("fitcheck.questions.dip.draw_window.PROGRAM", program)
    with pytest.raises(Refused, match="could not be opened"):
        view_dip(*CASES["in mm"])


def test_strokes_are_open_lines_of_two_points_or_more() -> None:
    for name in CASES:
        answer, part, tank, show = CASES[name]
        for mark in drawn(answer, part, tank, show).marks():
            if isinstance(mark, Stroke):
                assert all(len(line) >= 2 and np.isfinite(line).all() for line in mark.lines)


def test_words_shrink_before_they_are_cut() -> None:
    wide, _ = text_size("2 ft 3 1/2 in down from the rim", 25.0, bold=True)
    label = Label("2 ft 3 1/2 in down from the rim", (0.0, 0.0), 25.0, bold=True)
    smaller = ink.fitted(label, 0.8 * wide, least_pt=15.0)
    assert smaller.words == label.words
    assert 0.79 * wide <= text_size(smaller.words, smaller.size_pt, bold=True)[0] <= 0.8 * wide
    cut = ink.fitted(label, 0.3 * wide, least_pt=15.0)
    assert cut.words.endswith("...")
    assert text_size(cut.words, cut.size_pt, bold=True)[0] <= 0.3 * wide
