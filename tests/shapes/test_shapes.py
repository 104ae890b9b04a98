"""Every drawn shape against closed forms, and against two other programs' volumes."""

from __future__ import annotations

import math
from collections.abc import Sequence

import manifold3d
import numpy as np
import pytest
import trimesh
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.geometry.mesh.measure import is_convex, measures, sealed_mm3, skin_of
from fitcheck.shapes.basin import FLATS_PER_CORNER, basin
from fitcheck.shapes.catalogue import SHAPES, build
from fitcheck.shapes.holes import Hole, drilled
from fitcheck.shapes.pipe import pipe
from fitcheck.shapes.profile import profile
from fitcheck.shapes.rings import FLATS, circle_chord_mm
from fitcheck.shapes.rod import rod
from fitcheck.shapes.section import section
from fitcheck.shapes.shape import Shape
from fitcheck.shapes.sheet import thickened
from fitcheck.shapes.tube import tube
from fitcheck.shapes.wedge import wedge
from fitcheck.things.solid import Floats, Indices, Solid
from fitcheck.words.errors import Refused

# Sums over some hundred triangles in double precision: twelve digits are left, one more is kept in hand.
EXACT = 1e-11

Box = tuple[int, tuple[float, float, float], tuple[float, float, float]]
lengths = st.floats(10.0, 5000.0)
shares = st.floats(0.02, 0.9)


def moments_of_boxes(boxes: Sequence[Box]) -> tuple[float, Floats, Floats]:
    """Volume, centre and inertia of boxes added (+1) and taken off (-1), by the parallel-axis theorem."""
    volume, first, about_origin = 0.0, np.zeros(3), np.zeros((3, 3))
    for sign, low, high in boxes:
        size = np.subtract(high, low)
        middle = np.add(high, low) / 2.0
        mass = sign * float(size.prod())
        own = mass / 12.0 * np.diag((size**2).sum() - size**2)
        volume += mass
        first += mass * middle
        about_origin += own + mass * (middle @ middle * np.eye(3) - np.outer(middle, middle))
    centre = first / volume
    return volume, centre, about_origin - volume * (centre @ centre * np.eye(3) - np.outer(centre, centre))


def check(shape: Shape, boxes: Sequence[Box], area: float) -> None:
    found = measures(shape.solid)
    volume, centre, inertia = moments_of_boxes(boxes)
    size = max(shape.size_mm)
    assert found.volume_mm3 == pytest.approx(volume, rel=EXACT)
    assert found.area_mm2 == pytest.approx(area, rel=EXACT)
    np.testing.assert_allclose(found.centre_mm, centre, atol=EXACT * size)
    np.testing.assert_allclose(found.inertia_mm5, inertia, atol=EXACT * size**2 * volume)
    assert shape.chord_mm == 0.0
    np.testing.assert_allclose(shape.solid.vertices_mm.min(axis=0), 0.0, atol=0.0)
    np.testing.assert_allclose(shape.solid.vertices_mm.max(axis=0), shape.size_mm, rtol=1e-15)


@given(lengths, lengths, lengths)
def test_block_and_plate(length: float, width: float, height: float) -> None:
    size = (length, width, height)
    area = 2.0 * (length * width + width * height + height * length)
    for name in ("block", "plate"):
        check(build(name, {"size": size}), [(1, (0, 0, 0), size)], area)


@given(lengths, lengths, lengths, shares, st.sampled_from(["open", "one", "closed"]))
def test_tube(length: float, width: float, height: float, share: float, ends: str) -> None:
    wall = share * min(length, width, height) / 2.0
    near, far = {"open": (0.0, 0.0), "one": (0.0, wall), "closed": (wall, wall)}[ends]
    w, h, inner = width - 2.0 * wall, height - 2.0 * wall, length - near - far
    boxes: list[Box] = [
        (1, (0, 0, 0), (length, width, height)),
        (-1, (near, wall, wall), (length - far, width - wall, height - wall)),
    ]
    outside = 2.0 * (width + height) * length + 2.0 * width * height
    inside = 2.0 * (w + h) * inner
    mouths = {"open": -2.0 * w * h, "one": 0.0, "closed": 2.0 * w * h}[ends]
    shape = build("tube", {"size": (length, width, height), "wall": wall, "ends": ends})
    check(shape, boxes, outside + inside + mouths)
    sealed = w * h * inner if ends == "closed" else 0.0
    assert sealed_mm3(shape.solid) == pytest.approx(sealed, rel=1e-9)


@given(lengths, lengths, lengths, shares)
def test_channel_angle_zee(length: float, width: float, height: float, share: float) -> None:
    t = share * min(width, height) / 2.0
    size = (length, width, height)
    keys = {"size": size, "wall": t}
    # The area of an extruded outline: twice its cross-section, and its outline times its length.
    outline = 2.0 * (width + height)
    legs = height - t
    cross = width * t + 2.0 * legs * t
    boxes: list[Box] = [(1, (0, 0, 0), size), (-1, (0, t, 0), (length, width - t, height - t))]
    check(build("channel", keys), boxes, 2.0 * cross + (outline + 2.0 * legs) * length)
    boxes = [(1, (0, 0, 0), (length, width, t)), (1, (0, 0, t), (length, t, height))]
    check(build("angle", keys), boxes, 2.0 * (width + legs) * t + outline * length)
    a, b = (width - t) / 2.0, (width + t) / 2.0
    boxes = [
        (1, (0, a, 0), (length, b, height)),
        (1, (0, b, 0), (length, width, t)),
        (1, (0, 0, height - t), (length, a, height)),
    ]
    area = 2.0 * (height + width - t) * t + outline * length
    check(build("zee", keys), boxes, area)


@given(lengths, lengths, lengths, shares, st.floats(0.1, 0.9))
def test_hat(length: float, width: float, height: float, share: float, crown_share: float) -> None:
    crown = crown_share * width
    t = share * min(crown, height) / 2.0
    low, high = (width - crown) / 2.0, (width + crown) / 2.0
    boxes: list[Box] = [
        (1, (0, 0, 0), (length, width, t)),
        (1, (0, low, t), (length, high, height)),
        (-1, (0, low + t, 0), (length, high - t, height - t)),
        (1, (0, low + t, t), (length, high - t, t)),
    ]
    cross = 2.0 * low * t + crown * height - (crown - 2.0 * t) * (height - t)
    outline = 2.0 * (width + height) + 2.0 * (height - t)
    shape = build("hat", {"size": (length, width, height), "wall": t, "crown": crown})
    check(shape, boxes, 2.0 * cross + outline * length)
    if crown_share == 0.5:
        plain = build("hat", {"size": (length, width, height), "wall": t})
        assert measures(plain.solid).volume_mm3 == measures(shape.solid).volume_mm3


@given(lengths, lengths, lengths, shares)
def test_pan_and_frame(length: float, width: float, height: float, share: float) -> None:
    t = share * min(length, width, 2.0 * height) / 2.0
    size, inner, across = (length, width, height), length - 2.0 * t, width - 2.0 * t
    sides = 2.0 * (length + width) * height
    hollow = (inner + t, across + t)
    boxes: list[Box] = [(1, (0, 0, 0), size), (-1, (t, t, t), (*hollow, height))]
    area = 2.0 * length * width + sides + 2.0 * (inner + across) * (height - t)
    check(build("pan", {"size": size, "wall": t}), boxes, area)
    boxes = [(1, (0, 0, 0), size), (-1, (t, t, 0), (*hollow, height))]
    area = 2.0 * (length * width - inner * across) + sides + 2.0 * (inner + across) * height
    check(build("frame", {"size": size, "wall": t}), boxes, area)


@given(
    lengths,
    lengths,
    lengths,
    shares,
    st.sampled_from(["+y", "-y", "+z", "-z", "+x", "-x"]),
    st.integers(0, 4),
)
def test_section(length: float, width: float, height: float, share: float, face: str, baffles: int) -> None:
    axis, baffles = "xyz".index(face[1]), 0 if face[1] == "x" else baffles
    size = np.array([length, width, height])
    t = share * min(length / (baffles + 2), width / 2.0, height / 2.0)
    low, high = np.full(3, t), size - t
    if face[0] == "+":
        high[axis] = size[axis]
    else:
        low[axis] = 0.0
    bay = (length - (baffles + 2) * t) / (baffles + 1)
    boxes: list[Box] = [(1, (0, 0, 0), tuple(size))]
    for k in range(baffles + 1):
        start, end = low.copy(), high.copy()
        if axis != 0:
            start[0] = t + k * (bay + t)
            end[0] = start[0] + bay
        boxes.append((-1, tuple(start), tuple(end)))
    inside = 0.0
    for _, start, end in boxes[1:]:
        a, b, c = np.subtract(end, start)
        faces = np.array([b * c, a * c, a * b])
        # Each bay adds its walls; its mouth is no wall, and is missing from the outside of the box.
        inside += 2.0 * faces.sum() - 2.0 * faces[axis]
    a, b, c = size
    shape = section((length, width, height), t, face, baffles)  # type: ignore[arg-type]
    check(shape, boxes, 2.0 * (a * b + b * c + c * a) + inside)
    assert skin_of(shape.solid) is shape.solid


def test_section_baffles_leave_equal_bays() -> None:
    x = np.unique(section((1500.0, 700.0, 420.0), 1.6, "+y", 2).solid.vertices_mm[:, 0])
    walls, bays = np.diff(x)[0::2], np.diff(x)[1::2]
    np.testing.assert_allclose(walls, 1.6, atol=1e-12)
    np.testing.assert_allclose(bays, (1500.0 - 4 * 1.6) / 3, atol=1e-12)


@given(lengths, lengths, lengths, st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_wedge(length: float, width: float, height: float, a: float, b: float) -> None:
    end = (a * width, b * height)
    shape = build("wedge", {"size": (length, width, height), "end_size": end})
    found = measures(shape.solid)
    # Sections are rectangles whose sides are linear in x: every moment is the integral of a polynomial.
    x = np.polynomial.Polynomial([0.0, 1.0])
    w, h = width + (end[0] - width) / length * x, height + (end[1] - height) / length * x

    def integral(p: np.polynomial.Polynomial) -> float:
        return float(p.integ()(length))

    volume = integral(w * h)
    centre = np.array([integral(x * w * h), volume * width / 2.0, integral(w * h * h) / 2.0]) / volume
    xx, yy, zz = integral(x * x * w * h), integral(w**3 * h) / 12.0, integral(w * h**3) / 3.0
    xz = integral(x * w * h * h) / 2.0
    xx, zz, xz = (
        xx - volume * centre[0] ** 2,
        zz - volume * centre[2] ** 2,
        xz - volume * centre[0] * centre[2],
    )
    inertia = np.array([[yy + zz, 0.0, -xz], [0.0, xx + zz, 0.0], [-xz, 0.0, xx + yy]])
    size = max(shape.size_mm)
    assert found.volume_mm3 == pytest.approx(volume, rel=EXACT)
    # The prismatoid formula says the same.
    middle = (width + end[0]) * (height + end[1]) / 4.0
    assert volume == pytest.approx(
        length / 6.0 * (width * height + 4.0 * middle + end[0] * end[1]), rel=1e-12
    )
    np.testing.assert_allclose(found.centre_mm, centre, atol=EXACT * size)
    np.testing.assert_allclose(found.inertia_mm5, inertia, atol=1e-10 * size**2 * width * height * length)
    slant_top = math.hypot(length, height - end[1]) * (width + end[0]) / 2.0
    slant_side = math.hypot(length, (width - end[0]) / 2.0) * (height + end[1]) / 2.0
    floor = length * (width + end[0]) / 2.0
    area = width * height + end[0] * end[1] + floor + slant_top + 2.0 * slant_side
    assert found.area_mm2 == pytest.approx(area, rel=EXACT)
    assert is_convex(shape.solid)


@pytest.mark.parametrize("end", [(0.0, 60.0), (80.0, 0.0), (0.0, 0.0), (0.0, 20.0), (20.0, 0.0)])
def test_wedge_to_an_edge_or_a_point(end: tuple[float, float]) -> None:
    middle = (80.0 + end[0]) * (60.0 + end[1]) / 4.0
    solid = wedge((300.0, 80.0, 60.0), end).solid
    assert measures(solid).volume_mm3 == pytest.approx(50.0 * (4800.0 + 4.0 * middle + end[0] * end[1]))


def polygon_moments(diameter: float) -> tuple[float, float, float]:
    """Area, outline and polar second moment of the 72-gon of the circle's area."""
    step = 2.0 * math.pi / FLATS
    area = math.pi * diameter**2 / 4.0
    far = math.sqrt(2.0 * area / (FLATS * math.sin(step)))
    # A triangle (0, a, b) of area A has a polar moment of A/6 (a.a + b.b + a.b) about 0.
    return area, 2.0 * FLATS * far * math.sin(step / 2.0), area * far**2 * (2.0 + math.cos(step)) / 6.0


@given(lengths, lengths)
def test_rod(diameter: float, length: float) -> None:
    shape = rod(diameter, length)
    found = measures(shape.solid)
    area, outline, polar = polygon_moments(diameter)
    across = length * (polar / 2.0 + area * length**2 / 12.0)
    assert found.volume_mm3 == pytest.approx(math.pi / 4.0 * diameter**2 * length, rel=EXACT)
    assert found.area_mm2 == pytest.approx(2.0 * area + outline * length, rel=EXACT)
    np.testing.assert_allclose(found.centre_mm, [length / 2.0, diameter / 2.0, diameter / 2.0], rtol=1e-11)
    expected = np.diag([length * polar, across, across])
    np.testing.assert_allclose(found.inertia_mm5, expected, atol=EXACT * expected.max())
    # The polygon lies between two circles, so its moments lie between theirs.
    radius, chord = diameter / 2.0, shape.chord_mm
    circle = math.pi / 2.0 * radius**4
    assert (1.0 - chord / radius) ** 4 < polar / circle < (1.0 + chord / radius) ** 4


@given(lengths, lengths, shares, st.sampled_from(["open", "one", "closed"]))
def test_pipe(diameter: float, length: float, share: float, ends: str) -> None:
    wall = share * min(diameter, length) / 2.0
    near, far = {"open": (0.0, 0.0), "one": (0.0, wall), "closed": (wall, wall)}[ends]
    found = measures(pipe(diameter, length, wall, ends).solid)  # type: ignore[arg-type]
    outer, outline, polar = polygon_moments(diameter)
    bore, bore_outline, bore_polar = polygon_moments(diameter - 2.0 * wall)
    space = length - near - far
    assert found.volume_mm3 == pytest.approx(outer * length - bore * space, rel=1e-10)
    mouths = {"open": -2.0, "one": 0.0, "closed": 2.0}[ends] * bore
    area = outline * length + bore_outline * space + 2.0 * outer + mouths
    assert found.area_mm2 == pytest.approx(area, rel=EXACT)
    axial = polar * length - bore_polar * space
    assert found.inertia_mm5[0, 0] == pytest.approx(axial, abs=EXACT * polar * length)
    middle = near + space / 2.0
    centre = (outer * length**2 / 2.0 - bore * space * middle) / (outer * length - bore * space)
    assert found.centre_mm[0] == pytest.approx(centre, abs=1e-9 * length)
    sealed = bore * space if ends == "closed" else 0.0
    assert sealed_mm3(pipe(diameter, length, wall, ends).solid) == pytest.approx(sealed, rel=1e-9)  # type: ignore[arg-type]


def test_circles_are_within_the_chord_stated() -> None:
    solid = rod(100.0, 300.0).solid
    ring = solid.vertices_mm[
        np.abs(solid.vertices_mm[:, 1] - 50.0) + np.abs(solid.vertices_mm[:, 2] - 50.0) > 1.0
    ]
    far = np.hypot(ring[:, 1] - 50.0, ring[:, 2] - 50.0)
    assert far.max() - 50.0 == pytest.approx(circle_chord_mm(100.0), rel=1e-9)
    assert 50.0 - far.min() * math.cos(math.pi / FLATS) < circle_chord_mm(100.0)
    # Four flats touch the box as drawn, from inside.
    assert 0.0 < solid.vertices_mm[:, 1].min() < circle_chord_mm(100.0)


corner_lists = st.lists(st.tuples(st.floats(5.0, 100.0), st.floats(0.2, 1.0)), min_size=3, max_size=12)


@given(corner_lists, st.floats(1.0, 1000.0), st.booleans())
def test_profile(corners: list[tuple[float, float]], length: float, backwards: bool) -> None:
    # Seen from (0, 0) the corners come in rising angle: an outline that cannot cross itself.
    turns = np.cumsum([share for _, share in corners])
    angles = 2.0 * math.pi * turns / turns[-1]
    if np.diff(np.append(angles, angles[0] + 2.0 * math.pi)).max() >= math.pi:
        return
    radii = np.array([radius for radius, _ in corners])
    outline = np.column_stack([radii * np.cos(angles), radii * np.sin(angles)])
    points = [tuple(point) for point in (outline[::-1] if backwards else outline)]
    found = measures(profile(points, length).solid)
    # The shoelace formulas for the area and the centre of a polygon.
    y, z = outline.T
    cross = y * np.roll(z, -1) - np.roll(y, -1) * z
    area = cross.sum() / 2.0
    centre = [length / 2.0] + [float(((c + np.roll(c, -1)) * cross).sum() / 6.0 / area) for c in (y, z)]
    around = float(np.linalg.norm(outline - np.roll(outline, -1, axis=0), axis=1).sum())
    assert found.volume_mm3 == pytest.approx(area * length, rel=1e-10)
    assert found.area_mm2 == pytest.approx(2.0 * area + around * length, rel=1e-10)
    np.testing.assert_allclose(found.centre_mm, centre, atol=1e-8 * max(length, 100.0))


def test_profile_with_corners_in_line() -> None:
    points = [(0, 0), (5, 0), (10, 0), (10, 10), (6, 10), (6, 5), (4, 5), (4, 10), (0, 10), (0, 5), (0, 2.5)]
    assert measures(profile(points, 7.0).solid).volume_mm3 == pytest.approx(7.0 * 90.0)


def test_all_shapes_against_two_other_programs() -> None:
    size = (300.0, 80.0, 60.0)
    values: dict[str, object] = {
        "size": size,
        "wall": 4.0,
        "length": 300.0,
        "diameter": 50.0,
        "end_size": (30.0, 20.0),
        "points": [(0, 0), (40, 0), (40, 10), (10, 10), (10, 30), (0, 30)],
        "ends": "one",
        "open": "-z",
        "baffles": 2,
    }
    for name, keys in SHAPES.items():
        solid = build(name, {key.name: values[key.name] for key in keys if key.name in values}).solid
        volume = measures(solid).volume_mm3
        other = trimesh.Trimesh(solid.vertices_mm, solid.triangles, process=False)
        assert other.is_volume, name
        assert other.volume == pytest.approx(volume, rel=1e-9), name
        np.testing.assert_allclose(
            other.moment_inertia, measures(solid).inertia_mm5, atol=1e-9 * volume * 300.0**2
        )
        third = manifold3d.Manifold(
            manifold3d.Mesh64(np.array(solid.vertices_mm), solid.triangles.astype(np.uint64))
        )
        assert third.status() == manifold3d.Error.NoError, name
        assert third.volume() == pytest.approx(volume, rel=1e-9), name
        assert third.surface_area() == pytest.approx(measures(solid).area_mm2, rel=1e-9), name


SIZE = (300.0, 80.0, 60.0)


@pytest.mark.parametrize(
    ("name", "values", "key"),
    [
        ("block", {"size": (300.0, 0.0, 60.0)}, "size"),
        ("block", {"size": (300.0, -2.0, 60.0)}, "size"),
        ("block", {"size": (300.0, math.nan, 60.0)}, "size"),
        ("tube", {"size": SIZE, "wall": 30.0}, "wall"),
        ("tube", {"size": (5.0, 80.0, 60.0), "wall": 3.0, "ends": "closed"}, "wall"),
        ("tube", {"size": SIZE, "wall": 3.0, "ends": "shut"}, "ends"),
        ("tube", {"size": SIZE}, "wall"),
        ("pipe", {"diameter": 50.0, "length": 300.0, "wall": 25.0}, "wall"),
        ("pipe", {"diameter": 0.0, "length": 300.0, "wall": 2.0}, "diameter"),
        ("pipe", {"diameter": 50.0, "length": -1.0, "wall": 2.0}, "length"),
        ("rod", {"diameter": 50.0, "length": math.inf}, "length"),
        ("channel", {"size": SIZE, "wall": 40.0}, "wall"),
        ("angle", {"size": SIZE, "wall": 60.0}, "wall"),
        ("zee", {"size": SIZE, "wall": 30.0}, "wall"),
        ("hat", {"size": SIZE, "wall": 20.0}, "wall"),
        ("hat", {"size": SIZE, "wall": 2.0, "crown": 80.0}, "crown"),
        ("pan", {"size": SIZE, "wall": 40.0}, "wall"),
        ("frame", {"size": SIZE, "wall": 40.0}, "wall"),
        ("section", {"size": SIZE, "wall": 2.0, "open": "top"}, "open"),
        ("section", {"size": SIZE, "wall": 2.0, "open": "+x", "baffles": 1}, "baffles"),
        ("section", {"size": SIZE, "wall": 2.0, "baffles": -1}, "baffles"),
        ("section", {"size": SIZE, "wall": 30.0}, "wall"),
        ("wedge", {"size": SIZE, "end_size": (90.0, 20.0)}, "end_size"),
        ("profile", {"points": [(0.0, 0.0), (1.0, 0.0)], "length": 10.0}, "points"),
        ("profile", {"points": [(0, 0), (10, 10), (10, 0), (0, 10)], "length": 10.0}, "points"),
        ("profile", {"points": [(0, 0), (0, 0), (10, 0), (0, 10)], "length": 10.0}, "points"),
        ("profile", {"points": [(0, 0), (5, 0), (10, 0)], "length": 10.0}, "points"),
        ("profile", {"points": [(0, 0), (5, math.nan), (10, 0)], "length": 10.0}, "points"),
        ("block", {"size": SIZE, "wall": 3.0}, "wall"),
        ("boat", {"size": SIZE}, "boat"),
    ],
)
def test_bad_sizes_are_refused_and_name_the_key(name: str, values: dict[str, object], key: str) -> None:
    with pytest.raises(Refused) as caught:
        build(name, values)
    assert key in caught.value.problem
    assert caught.value.cure


def test_hole_goes_through_the_nearer_wall_only() -> None:
    shape = tube(SIZE, 3.0, "closed")
    assert sealed_mm3(shape.solid) > 0.0
    for z, drilled_z in ((0.0, (0.0, 3.0)), (60.0, (57.0, 60.0)), (20.0, (0.0, 3.0)), (40.0, (57.0, 60.0))):
        result = drilled(shape, Hole((150.0, 40.0, z), "z", 6.0))
        gone = measures(shape.solid).volume_mm3 - measures(result.solid).volume_mm3
        assert gone == pytest.approx(math.pi * 9.0 * 3.0, rel=1e-6)
        assert skin_of(result.solid) is result.solid  # it is no longer sealed
        rim = result.solid.vertices_mm[np.hypot(*(result.solid.vertices_mm[:, :2] - [150.0, 40.0]).T) < 3.1]
        assert (rim[:, 2].min(), rim[:, 2].max()) == pytest.approx(drilled_z)
        assert result.size_mm == shape.size_mm


@pytest.mark.parametrize(
    ("along", "at", "walls"), [("x", (300.0, 40.0, 30.0), 1), ("y", (9.0, 0.0, 30.0), 1)]
)
def test_holes_along_the_other_axes(along: str, at: tuple[float, float, float], walls: int) -> None:
    shape = tube(SIZE, 3.0, "closed")
    result = drilled(shape, Hole(at, along, 6.0))  # type: ignore[arg-type]
    gone = measures(shape.solid).volume_mm3 - measures(result.solid).volume_mm3
    assert gone == pytest.approx(walls * math.pi * 9.0 * 3.0, rel=1e-6)


def test_hole_through_all_walls() -> None:
    shape = section((1500.0, 700.0, 420.0), 1.6, "+z", 2)
    result = drilled(shape, Hole((0.0, 350.0, 200.0), "x", 50.0, through=True))
    gone = measures(shape.solid).volume_mm3 - measures(result.solid).volume_mm3
    assert gone == pytest.approx(4.0 * math.pi * 25.0**2 * 1.6, rel=1e-6)
    assert result.chord_mm == circle_chord_mm(50.0)


def test_hole_in_a_round_wall() -> None:
    # A thin wall under a bar is its thickness over the cosine of its slope: 1 in the middle, most at the rim.
    shape = pipe(200.0, 1200.0, 2.0, "closed")
    result = drilled(shape, Hole((600.0, 100.0, 200.0), "z", 10.0))
    gone = measures(shape.solid).volume_mm3 - measures(result.solid).volume_mm3
    least = math.pi * 25.0 * 2.0
    assert least * (1.0 - 1e-3) < gone < least / math.sqrt(1.0 - (5.0 / 98.0) ** 2) * (1.0 + 1e-3)
    assert sealed_mm3(result.solid) == 0.0


@pytest.mark.parametrize(
    ("hole", "word"),
    [
        (Hole((150.0, 400.0, 0.0), "z", 6.0), "misses"),
        (Hole((150.0, 40.0, 0.0), "z", 90.0, through=True), "in two"),
        (Hole((150.0, 40.0, 0.0), "z", 900.0), "leaves nothing"),
        (Hole((150.0, 40.0, 0.0), "z", 0.0), "diameter"),
    ],
)
def test_bad_holes_are_refused(hole: Hole, word: str) -> None:
    with pytest.raises(Refused, match=word):
        drilled(build("block", {"size": SIZE}), hole)


def rounded_box_mm3(size: tuple[float, float, float], f: float) -> float:
    """Volume of a box with rounded floor edges, upright edges and bottom corners, open side flat."""
    a, b, depth = size[0] - 2.0 * f, size[1] - 2.0 * f, size[2]
    upper = (a * b + 2.0 * f * (a + b) + math.pi * f**2) * (depth - f)
    # Below, a section at height z reaches r = sqrt(f2 - (f - z)2) out of the core: r integrates to pi f2 / 4.
    return upper + a * b * f + 2.0 * (a + b) * math.pi * f**2 / 4.0 + math.pi * 2.0 * f**3 / 3.0


@given(st.floats(100.0, 8000.0), st.floats(100.0, 1000.0), st.floats(100.0, 1000.0), st.floats(0.01, 0.99))
def test_basin(length: float, width: float, depth: float, share: float) -> None:
    size, fillet = (length, width, depth), share * min(length / 2.0, width / 2.0, depth)
    shape = basin(size, fillet)
    found = measures(shape.solid)
    true = rounded_box_mm3(size, fillet)
    assert true < found.volume_mm3 < true + shape.chord_mm * found.area_mm2
    assert is_convex(shape.solid)
    np.testing.assert_allclose(np.ptp(shape.solid.vertices_mm, axis=0), size, rtol=1e-12)
    # How far each corner reaches beyond the true surface: its distance from the core less the fillet.
    core = np.clip(shape.solid.vertices_mm, fillet, [length - fillet, width - fillet, math.inf])
    beyond = np.linalg.norm(shape.solid.vertices_mm - core, axis=1) - fillet
    assert beyond.max() <= shape.chord_mm + 1e-9 * length
    # Every flat touches the true surface from outside: the reach of the rounded box equals the flat's.
    a, b, c = (shape.solid.vertices_mm[shape.solid.triangles[:, k]] for k in range(3))
    normal = np.cross(b - a, c - a)
    normal /= np.linalg.norm(normal, axis=1, keepdims=True)
    low, high = np.full(3, fillet), np.array([length - fillet, width - fillet, depth])
    reach = np.where(normal > 0.0, normal * high, normal * low).sum(axis=1) + fillet
    sides = normal[:, 2] < 0.5  # not the rim, where the space ends flat
    np.testing.assert_allclose(reach[sides], (normal * a).sum(axis=1)[sides], atol=1e-8 * length)


def test_basin_without_fillet_is_a_box() -> None:
    assert measures(basin((1200.0, 600.0, 500.0)).solid).volume_mm3 == pytest.approx(360e6, rel=1e-12)
    assert basin((1200.0, 600.0, 500.0)).chord_mm == 0.0
    assert FLATS_PER_CORNER == 8  # chord_mm is below 1 % of the fillet at 8
    assert basin((1200.0, 600.0, 500.0), 100.0).chord_mm < 1.0


@pytest.mark.parametrize("fillet", [300.0, 501.0, -1.0, math.nan])
def test_basin_refuses_a_fillet_that_does_not_go_in(fillet: float) -> None:
    with pytest.raises(Refused, match="fillet"):
        basin((1200.0, 600.0, 500.0), fillet)


def sheet_of(rows: Floats) -> tuple[Floats, Indices]:
    """Triangles over rows of points."""
    n, m = rows.shape[:2]
    index = np.arange(n * m).reshape(n, m)
    a, b, c, d = (
        part.reshape(-1) for part in (index[:-1, :-1], index[1:, :-1], index[1:, 1:], index[:-1, 1:])
    )
    return rows.reshape(-1, 3), np.vstack([np.column_stack([a, b, c]), np.column_stack([a, c, d])])


def bent(section_yz: Sequence[tuple[float, float]], x: Sequence[float] = (0.0, 90.0, 200.0)) -> Floats:
    return np.array([[(at, y, z) for y, z in section_yz] for at in x], dtype=np.float64)


@pytest.mark.parametrize(
    ("rows", "middle_mm"),
    [
        (bent([(0, 0), (40, 0), (100, 0)]), 100.0),
        (bent([(0, 60), (0, 0), (80, 0)]), 140.0),
        (bent([(0, 60), (0, 0), (80, 0), (80, 60), (100, 60)]), 220.0),
        (bent([(math.cos(t) * 100.0, math.sin(t) * 100.0) for t in np.linspace(0.0, math.pi, 37)]), None),
    ],
    ids=["flat", "bend", "three bends", "half cylinder"],
)
def test_sheet_keeps_its_area_times_thickness(rows: Floats, middle_mm: float | None) -> None:
    solid = thickened(*sheet_of(rows), 1.6)
    if middle_mm is not None:
        assert measures(solid).volume_mm3 == pytest.approx(200.0 * middle_mm * 1.6, rel=1e-12)
        return
    chords = 2.0 * 100.0 * 36 * math.sin(math.pi / 72)
    assert measures(solid).volume_mm3 == pytest.approx(200.0 * chords * 1.6, rel=1e-12)
    # And of the true half cylinder: half of a ring, to the chords' shortfall of (pi / 36)2 / 24.
    ring = math.pi / 2.0 * (100.8**2 - 99.2**2) * 200.0
    assert measures(solid).volume_mm3 == pytest.approx(ring, rel=(math.pi / 36) ** 2 / 24 * 1.01)


def test_sheet_of_a_dome() -> None:
    # A shell to both sides of a sphere holds 4 pi (R2 t + t3 / 12): its area times t, to t2 / 12 R2 = 3e-5;
    # each flat of the mesh turns by 4 degrees to the next, which costs (4 deg)2 / 8 = 6e-4 at the most.
    ball = trimesh.creation.icosphere(subdivisions=4, radius=100.0)
    keep = ball.triangles_center[:, 2] > 0.0
    solid = thickened(np.array(ball.vertices), np.array(ball.faces[keep]), 2.0)
    area = float(ball.area_faces[keep].sum())
    assert measures(solid).volume_mm3 == pytest.approx(area * 2.0, rel=1e-3)


def test_sheet_refuses_folds_and_joints() -> None:
    points, triangles = sheet_of(bent([(0, 0), (100, 0), (0, 0.001)]))
    with pytest.raises(Refused, match=r"folded onto itself at \(.*100"):
        thickened(points, triangles, 1.0)
    tight = bent([(math.cos(t), math.sin(t)) for t in np.linspace(0.0, math.pi, 13)])
    with pytest.raises(Refused, match="tightly"):
        thickened(*sheet_of(tight), 3.0)
    flange = np.array([[0.0, 40.0, 0.0], [90.0, 40.0, 0.0], [0.0, 40.0, 50.0]])
    points, triangles = sheet_of(bent([(0, 0), (40, 0), (100, 0)]))
    joint = [1, 4, len(points)]
    with pytest.raises(Refused, match="more than two triangles"):
        thickened(np.vstack([points, flange[2:]]), np.vstack([triangles, joint]), 1.0)
    with pytest.raises(Refused, match="sheet"):
        thickened(points, triangles, 0.0)


def test_every_solid_passes_its_own_check_after_a_turn() -> None:
    turn = trimesh.transformations.random_rotation_matrix(np.array([0.1, 0.7, 0.3]))[:3, :3]
    solid = section(SIZE, 2.0, "-y", 3).solid
    moved = solid.moved(turn, np.array([5.0, 6.0, 7.0]))
    assert isinstance(moved, Solid)
    assert measures(moved).volume_mm3 == pytest.approx(measures(solid).volume_mm3, rel=1e-10)
