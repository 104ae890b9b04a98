"""What a surface holds: closed forms, laws, and a flooded grid that shares nothing with it."""

from __future__ import annotations

import math
from dataclasses import replace

import manifold3d
import numpy as np
import pytest
from oracles.flood import held_on_grid
from strategies.solids import box, joined, lathe

from fitcheck.geometry.liquid import attitude_map as ways_up
from fitcheck.geometry.liquid.attitude_map import caught_l, every_way_rad, steps_rad, vessel_of
from fitcheck.geometry.liquid.held_pockets import held_at
from fitcheck.geometry.liquid.pockets import UPSIDE_DOWN, Pools, Vessel
from fitcheck.geometry.mesh.hole_caps import holes_capped
from fitcheck.geometry.mesh.measure import measures, weighed
from fitcheck.shapes.catalogue import build
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Floats, Solid
from fitcheck.words.units import RAD_PER_DEGREE

OVER = math.pi
# The sums of some hundred products round to far less.
EXACT = 1e-9


def made(shape: str, **values: object) -> Part:
    built = build(shape, values)
    return replace(weighed(shape, built.solid, 2.7), chord_mm=built.chord_mm)


def turned(tilt_deg: float, roll_deg: float, swing_deg: float = 0.0) -> Floats:
    return rotation_from(Angles(*(angle * RAD_PER_DEGREE for angle in (tilt_deg, roll_deg, swing_deg))))


def air(solid: Solid, rotation: Floats) -> float:
    return float(Vessel(solid).air_mm3(rotation[None])[0])


def liquid(solid: Solid, rotation: Floats) -> float:
    return air(solid, UPSIDE_DOWN @ rotation)


def tray(length: float, width: float, depth: float, wall: float = 1.0) -> Part:
    """Return an open box by its inside."""
    size = (length + 2.0 * wall, width + 2.0 * wall, depth + wall)
    return made("pan", size=size, wall=wall)


# Liquid retained in an open box tilted about the edge of its width: W (L H - L^2 tan t / 2), and once the
# bottom is bare W H^2 / (2 tan t). Computed from plane trigonometry.
BOXES = [
    ((10.0, 4.0, 6.0), 10.0, 204.734604),
    ((10.0, 4.0, 6.0), 30.0, 124.529946),
    ((10.0, 4.0, 6.0), 45.0, 72.0),
    ((36.0, 24.0, 30.0), 5.0, 24559.3763),
    ((36.0, 24.0, 30.0), 20.0, 20259.5349),
    ((36.0, 24.0, 30.0), 60.0, 6235.38291),
]


@pytest.mark.parametrize(("inside", "tilt", "volume"), BOXES)
def test_an_open_box_tilted(inside: tuple[float, float, float], tilt: float, volume: float) -> None:
    solid = tray(*inside).solid
    assert liquid(solid, turned(tilt, 0.0)) == pytest.approx(volume, rel=1e-6)
    assert air(solid, turned(tilt, 180.0)) == pytest.approx(volume, rel=1e-6)
    # About the other edge, the length and the width change places.
    across = tray(inside[1], inside[0], inside[2]).solid
    assert liquid(across, turned(0.0, tilt)) == pytest.approx(volume, rel=1e-6)


# The wedge d^2 / (2 tan t) w and the corner d^3 / (3 tan^2 t) of a pan of 596.8 x 596.8 x 58.4 mm inside.
WIDE, DEEP = 596.8, 58.4


@pytest.mark.parametrize("lean", [15.0, 30.0, 45.0])
def test_a_pan_edge_up_and_corner_up(lean: float) -> None:
    pan = made("pan", size=(600.0, 600.0, 60.0), wall=1.6).solid
    slope = math.tan(lean * RAD_PER_DEGREE)
    sine, cosine = math.sin(lean * RAD_PER_DEGREE) / math.sqrt(2.0), math.cos(lean * RAD_PER_DEGREE)
    tilt, roll = math.asin(sine) / RAD_PER_DEGREE, math.atan2(sine, cosine) / RAD_PER_DEGREE
    assert air(pan, turned(lean, 180.0)) == pytest.approx(DEEP**2 / (2.0 * slope) * WIDE, rel=EXACT)
    assert air(pan, turned(tilt, 180.0 - roll)) == pytest.approx(DEEP**3 / (3.0 * slope**2), rel=EXACT)
    assert air(pan, turned(0.0, 180.0)) == pytest.approx(WIDE**2 * DEEP, rel=EXACT)
    assert air(pan, turned(lean, 0.0)) == 0.0


# Liquid in a cup of radius 3 and depth 10, leaning from upright: hoofs of a cylinder, by integration.
CUP = [
    (10.0, 267.786755),
    (30.0, 233.770756),
    (45.0, 197.920337),
    (60.0, 135.880386),
    (75.0, 51.415742),
    (80.0, 28.574769),
]


def cup() -> Part:
    """Return a cup of radius 30 mm and depth 100 mm inside, lying along x, its mouth at -x."""
    return made("pipe", diameter=62.0, length=101.0, wall=1.0, ends="one")


@pytest.mark.parametrize(("lean", "volume"), CUP)
def test_a_cup_leaning(lean: float, volume: float) -> None:
    """The 72 flats of equal area are right to a part in a thousand; the deeper it leans the worse."""
    assert air(cup().solid, turned(90.0 - lean, 0.0)) / 1e3 == pytest.approx(volume, rel=2e-3)


RADIUS, SIDES = 100.0, 64


def bowl() -> Solid:
    """Return half a ball hollowed to 100 mm radius, 2 mm wall, open upward."""
    angles = np.linspace(0.02, math.pi / 2.0, 48)
    inner = [(RADIUS * math.sin(a), -RADIUS * math.cos(a)) for a in angles]
    outer = [((RADIUS + 2.0) * math.sin(a), -(RADIUS + 2.0) * math.cos(a)) for a in angles]
    outside = lathe([*outer], SIDES)
    hollow = lathe([*inner, (RADIUS, 1.0)], SIDES)
    solids = (manifold3d.Manifold(_mesh(solid)) for solid in (outside, hollow))
    first, second = solids
    return _solid(first - second)


def _mesh(solid: Solid) -> manifold3d.Mesh64:
    return manifold3d.Mesh64(np.array(solid.vertices_mm, order="C"), solid.triangles.astype(np.uint64))


def _solid(manifold: manifold3d.Manifold) -> Solid:
    mesh = manifold.to_mesh64()
    return Solid(np.asarray(mesh.vert_properties)[:, :3], np.asarray(mesh.tri_verts).astype(np.int64))


@pytest.mark.parametrize("tilt", [5.0, 20.0, 45.0, 70.0])
def test_a_bowl_leaning_holds_a_cap(tilt: float) -> None:
    """What stays in half a ball is a cap of height r (1 - sin t): pi h^2 (3 r - h) / 3."""
    height = RADIUS * (1.0 - math.sin(tilt * RAD_PER_DEGREE))
    cap = math.pi * height**2 * (3.0 * RADIUS - height) / 3.0
    # Flats of 64 sides lie inside the circle by r (1 - cos(pi / 64)) = 0.12 mm at most.
    touched = 2.0 * math.pi * RADIUS * height
    assert liquid(bowl(), turned(tilt, 0.0)) == pytest.approx(
        cap, abs=0.25 * touched + 0.25 * 2.0 * math.pi * RADIUS**2 / 4
    )


def test_the_stated_error_covers_the_true_one() -> None:
    """Of 100 random tilts of a pan, a cup and a pipe's cup by the closed forms, the error told covers 95 or more."""
    rng = np.random.default_rng(3)
    pan, tube = made("pan", size=(600.0, 600.0, 60.0), wall=1.6), cup()
    deep = made("pipe", diameter=202.0, length=301.0, wall=1.0, ends="one")
    covered = 0
    for k in range(100):
        if k % 3 == 0:
            lean = rng.uniform(6.0, 80.0)
            held = held_at(pan, turned(lean, 180.0, rng.uniform(-180.0, 180.0)))
            true = DEEP**2 / (2.0 * math.tan(lean * RAD_PER_DEGREE)) * WIDE
        else:
            part, radius, depth = (tube, 30.0, 100.0) if k % 3 == 1 else (deep, 100.0, 300.0)
            lean = rng.uniform(2.0, 88.0)
            held = held_at(part, turned(90.0 - lean, rng.uniform(-180.0, 180.0), rng.uniform(-180.0, 180.0)))
            true = hoof(radius, depth, lean * RAD_PER_DEGREE)
        covered += abs(held.air_l * 1e6 - true) <= held.air_error_l * 1e6
    assert covered >= 95


def hoof(radius: float, depth: float, lean: float) -> float:
    """Return what a cup holds leaning, by adding up chords of its bottom: 100,000 strips, right to 1e-7."""
    x = radius * np.cos(np.pi * (np.arange(100_000) + 0.5) / 100_000)
    strips = radius**2 * np.pi / 100_000 * np.sin(np.pi * (np.arange(100_000) + 0.5) / 100_000) ** 2 * 2.0
    height = depth - (radius - x) * math.tan(lean)
    return float((strips * np.clip(height, 0.0, depth)).sum())


def test_the_hoof_sum_is_right() -> None:
    for lean, volume in CUP:
        assert hoof(3.0, 10.0, lean * RAD_PER_DEGREE) == pytest.approx(volume, rel=1e-5)


# Laws.


def compartments(rng: np.random.Generator) -> Solid:
    """Return a box with open compartments and drilled holes; some walls left between them are a hair."""
    size = rng.uniform(60.0, 120.0, 3)
    wall = rng.uniform(6.0, 9.0)
    body = manifold3d.Manifold.cube(size.tolist())
    for _ in range(rng.integers(1, 5)):
        low = rng.uniform(wall, size - 4.0 * wall)
        body -= manifold3d.Manifold.cube(rng.uniform(2.0 * wall, size).tolist()).translate(low.tolist())
    for _ in range(rng.integers(0, 3)):
        bit = manifold3d.Manifold.cylinder(200.0, rng.uniform(4.0, 8.0), -1.0, 16, center=True)
        way, at = rng.uniform(0.0, 180.0, 3).tolist(), (size * rng.uniform(0.2, 0.8, 3)).tolist()
        body -= bit.rotate(way).translate(at)
    return _solid(body)


def slabs(rng: np.random.Generator) -> Solid:
    """Return slabs of 6 mm or more stuck together, or apart."""
    body = manifold3d.Manifold()
    tumbled = rng.random() < 0.5
    for _ in range(rng.integers(4, 10)):
        size = rng.uniform(20.0, 90.0, 3)
        size[rng.integers(3)] = rng.uniform(6.0, 10.0)
        slab = manifold3d.Manifold.cube(size.tolist())
        if tumbled:
            slab = slab.rotate(rng.uniform(0.0, 360.0, 3).tolist())
        body += slab.translate(rng.uniform(0.0, 80.0, 3).tolist())
    return _solid(body)


def some_solid(seed: int) -> tuple[Solid, np.random.Generator]:
    rng = np.random.default_rng(seed)
    return (compartments(rng) if seed % 2 else slabs(rng)), rng


def some_turn(rng: np.random.Generator) -> Floats:
    return turned(rng.uniform(-85.0, 85.0), rng.uniform(-180.0, 180.0), rng.uniform(-180.0, 180.0))


@pytest.mark.parametrize("seed", range(20))
def test_a_flooded_grid_finds_the_same(seed: int) -> None:
    """A grid is right to some of its surface, and never far under: all it floods is open.

    It may be far over where a way out is narrower than its cells. Then finer ones come down to the exact: of the
    first 320 solids only two need them, one of which has its way out between slabs 0.23 mm apart.
    """
    solid, rng = some_solid(seed)
    rotation = some_turn(rng) if seed % 4 else turned(0.0, float(rng.choice([0.0, 180.0])))
    vessel = Vessel(solid)
    pools = vessel.pools(rotation)
    exact = float(pools.volume_mm3.sum()) + vessel.shut_mm3
    over, bound = [], 0.7 * (0.3 * pools.touched_mm2.sum() + pools.level_mm2.sum() + 200.0)
    for cell in (2.0, 1.0, 0.6, 0.3):
        over.append((held_on_grid(solid, rotation, cell) - exact) / cell)
        assert over[-1] >= -bound, f"the flood gets where nothing is open: {over} against {bound}"
        if over[-1] <= bound:
            return
    pytest.fail(f"the grid holds more at every size: {over} against {bound}")


@pytest.mark.parametrize("seed", range(8))
def test_what_changes_nothing(seed: int) -> None:
    """Swing, place, the order of the mesh, finer triangles; and scale, which changes by its cube."""
    solid, rng = some_solid(seed)
    rotation = some_turn(rng)
    volume = air(solid, rotation)
    near = pytest.approx(volume, rel=EXACT, abs=1e-6)
    assert air(solid, turned(0.0, 0.0, 37.0) @ rotation) == near
    assert air(solid.moved(np.eye(3), np.array([5000.0, -300.0, 70.0])), rotation) == pytest.approx(
        volume, rel=1e-7, abs=1e-3
    )
    shuffled = rng.permutation(len(solid.vertices_mm))
    place = np.argsort(shuffled)
    again = Solid(solid.vertices_mm[shuffled], place[solid.triangles][rng.permutation(len(solid.triangles))])
    assert air(again, rotation) == near
    assert air(_finer(solid), rotation) == near
    assert air(Solid(solid.vertices_mm * 7.0, solid.triangles), rotation) == pytest.approx(
        343.0 * volume, rel=1e-8, abs=1e-3
    )
    mirrored = Solid(solid.vertices_mm * np.array([1.0, -1.0, 1.0]), solid.triangles[:, ::-1])
    flip = np.diag([1.0, -1.0, 1.0])
    assert air(mirrored, flip @ rotation @ flip) == near


def _finer(solid: Solid) -> Solid:
    import trimesh

    mesh = trimesh.Trimesh(solid.vertices_mm, solid.triangles, process=False).subdivide()
    return Solid(mesh.vertices, mesh.faces)


def test_the_pockets_add_up_and_none_is_more_than_the_room() -> None:
    for seed in range(8):
        solid, rng = some_solid(seed)
        rotation = some_turn(rng)
        vessel = Vessel(solid)
        pools = vessel.pools(rotation)
        assert pools.volume_mm3.sum() + vessel.shut_mm3 == pytest.approx(
            air(solid, rotation), rel=EXACT, abs=1e-9
        )
        hull = manifold3d.Manifold(_mesh(solid)).hull().volume()
        assert pools.volume_mm3.sum() <= hull - measures(solid).volume_mm3 + 1e-6


def test_a_rod_in_a_cup_and_a_float_under_it_take_their_room() -> None:
    """An island that hangs in a pocket is part of its bound; one that stands in the open below is not."""
    pan = tray(100.0, 100.0, 60.0).solid
    rod = box((20.0, 20.0, 200.0), (41.0, 41.0, 5.0))
    both = joined(pan, rod)
    over = turned(0.0, 180.0)
    # The pan reaches 61 mm deep; the rod stands 56 of them inside.
    assert air(both, over) == pytest.approx(100.0 * 100.0 * 60.0 - 20.0 * 20.0 * 56.0, rel=EXACT)
    lump = box((20.0, 20.0, 20.0), (41.0, 41.0, 20.0))
    assert air(joined(pan, lump), over) == pytest.approx(100.0 * 100.0 * 60.0 - 20.0**3, rel=EXACT)
    away = box((20.0, 20.0, 20.0), (41.0, 41.0, 300.0))
    assert air(joined(pan, away), over) == pytest.approx(100.0 * 100.0 * 60.0, rel=EXACT)


def test_a_pocket_under_a_table_beside_its_edge_is_open() -> None:
    """A lip that hangs over free space, with another roof over it, is a way out only where it leads to the sky."""
    table = box((100.0, 100.0, 10.0), (0.0, 0.0, 100.0))
    shade = box((300.0, 300.0, 10.0), (-100.0, -100.0, 150.0))
    assert air(joined(table, shade), np.eye(3)) == 0.0
    hood = made("pan", size=(300.0, 300.0, 200.0), wall=5.0).solid.moved(
        turned(0.0, 180.0), np.array([0.0, 300.0, 200.0])
    )
    inside = 290.0 * 290.0 * 195.0
    shelf = box((100.0, 100.0, 10.0), (100.0, 100.0, 60.0))
    assert air(joined(hood, shelf), np.eye(3)) == pytest.approx(inside - 100.0 * 100.0 * 10.0, rel=EXACT)


def test_surfaces_that_touch_let_nothing_by() -> None:
    """A lid that stands on a tray's rim in common corners: what is inside is shut."""
    pan = tray(98.0, 98.0, 59.0).solid
    lid = box((100.0, 100.0, 5.0), (0.0, 0.0, 60.0))
    body = manifold3d.Manifold(_mesh(pan)) + manifold3d.Manifold(_mesh(lid))
    vessel = Vessel(_solid(body))
    assert vessel.shut_mm3 == pytest.approx(98.0 * 98.0 * 59.0, rel=1e-6)
    # Two boxes that share one edge and nothing else.
    pair = joined(box((10.0, 10.0, 10.0)), box((10.0, 10.0, 10.0), (10.0, 10.0, 0.0)))
    assert air(pair, turned(20.0, 30.0)) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("diameter", [4.0, 6.35])
def test_a_hole_lets_out_what_is_under_it(diameter: float) -> None:
    """A section 1.5 m long with one small hole at the top of its wall keeps only what is over the hole."""
    section = made("section", size=(1500.0, 700.0, 420.0), wall=1.6, open="-z", baffles=0).solid
    lean = turned(10.0, 0.0)
    whole = air(section, lean)
    at = np.array([1500.0 - 20.0, 350.0, 420.0])
    bit = manifold3d.Manifold.cylinder(40.0, diameter / 2.0, -1.0, 48, center=True).translate(at.tolist())
    drilled = _solid(manifold3d.Manifold(_mesh(section)) - bit)
    left = air(drilled, lean)
    # Over the hole's upper edge: a wedge 20 - 1.6 - r long under the roof, as wide as the inside.
    reach = 20.0 - 1.6 - diameter / 2.0
    slope = math.tan(10.0 * RAD_PER_DEGREE)
    wedge = reach**2 * slope / 2.0 * (700.0 - 3.2)
    assert whole > 1e8
    assert left == pytest.approx(wedge, rel=0.02)
    assert holes_capped(drilled, 3.0) is drilled
    assert holes_capped(drilled, 7.0) is not drilled


def test_sheet_of_any_thinness_holds() -> None:
    for wall in (1.0, 0.05, 1e-3):
        pan = made("pan", size=(100.0 + 2.0 * wall, 100.0 + 2.0 * wall, 20.0 + wall), wall=wall).solid
        assert air(pan, turned(0.0, 180.0)) == pytest.approx(100.0 * 100.0 * 20.0, rel=1e-6)


@pytest.mark.parametrize("off_deg", [0.0, 1e-12, 1e-9, 1e-6])
def test_a_hair_off_level_changes_a_hair(off_deg: float) -> None:
    pan = tray(100.0, 80.0, 20.0).solid
    assert air(pan, turned(off_deg, 180.0 + off_deg)) == pytest.approx(100.0 * 80.0 * 20.0, rel=1e-6)
    assert air(pan, turned(off_deg, off_deg)) == pytest.approx(0.0, abs=1e-3)


def test_cores_do_not_matter(monkeypatch: pytest.MonkeyPatch) -> None:
    part = made("section", size=(300.0, 200.0, 100.0), wall=2.0, open="+y", baffles=2)
    vessel = vessel_of(part)
    ways = every_way_rad(*steps_rad(part.attitude, vessel))[::4, ::4]
    one = caught_l(vessel, ways)
    for cores, portion in ((1, 16), (2, 7), (3, 1000)):
        monkeypatch.setattr(ways_up, "CORES", cores)
        monkeypatch.setattr(ways_up, "PORTION", portion)
        assert np.array_equal(caught_l(vessel, ways), one)


def test_pockets_with_mouths_at_one_height_are_told_apart() -> None:
    """Eight cups in a block, upside down and level: eight pockets, not one."""
    block = manifold3d.Manifold.cube([400.0, 200.0, 60.0])
    for k in range(8):
        hole = manifold3d.Manifold.cube([80.0, 80.0, 60.0]).translate(
            [10.0 + 100.0 * (k % 4), 10.0 + 100.0 * (k // 4), 10.0]
        )
        block -= hole
    solid = _solid(block)
    for angles in ((0.0, 180.0), (0.0, 180.0, 37.0)):
        pools = Vessel(solid).pools(turned(*angles))
        assert pools.volume_mm3 == pytest.approx(np.full(8, 80.0 * 80.0 * 50.0))


def test_what_is_told_of_a_pocket() -> None:
    """A pan upside down: one pocket, its level at the rim, all its inside touched."""
    pan = tray(100.0, 80.0, 20.0).solid
    pools: Pools = Vessel(pan).pools(turned(0.0, 180.0))
    assert len(pools.volume_mm3) == 1
    assert pools.level_mm2[0] == pytest.approx(100.0 * 80.0)
    assert pools.touched_mm2[0] == pytest.approx(100.0 * 80.0 + 2.0 * 20.0 * (100.0 + 80.0))
    assert pools.spill_mm[0] == pytest.approx(-21.0)
    top = Vessel(pan).vertices_mm[pools.top[0]]
    assert top[2] == pytest.approx(1.0)
