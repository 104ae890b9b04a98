"""The compiled loops of the search over six freedoms, held to plain code that shares nothing with them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from strategies.obstacles import frame, l_shaped, stepped_tank
from strategies.solids import box, hulled, part_of, tank_of

from fitcheck.geometry.convex.convex_bodies import bodies_of
from fitcheck.geometry.convex.offset_bodies import grown_within
from fitcheck.geometry.kernels.pose_bounds import FREE, OPEN, REFUSED, Room, bound_boxes
from fitcheck.geometry.kernels.pose_relaxation import Things, pushes, settled
from fitcheck.geometry.poses.dip_problem import dip_problem
from fitcheck.geometry.poses.dip_with_obstacles import among_of
from fitcheck.geometry.poses.pose_search import Among, room_of, shifts_of
from fitcheck.geometry.rotations.envelope import faces_of
from fitcheck.proving.infeasible_poses import Scene, _look, _turns, scene_of
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, rotation_from
from fitcheck.things.solid import Floats, Indices
from fitcheck.things.tank import Rules, Tank

# Deeper than the least that a look may leave open for rounding: 1e-4 mm there, 5e-5 mm in the plain code.
ROUNDING_MM = 2e-4
BOXES = 1_200


def a_roof() -> Tank:
    """Return a tank with a leaning roof-shaped thing and a post in it, clearances and tapes."""
    ridge = [[x, y, z] for x in (300.0, 700.0) for y, z in ((0.0, 0.0), (200.0, 0.0), (100.0, 150.0))]
    rules = Rules(5.0, 7.0, 3.0, 10.0, tape_part_mm=1.0, tape_tank_mm=1.0)
    return tank_of(
        box((1200.0, 500.0, 400.0)), rules, roof=hulled(ridge), post=box((50.0, 60.0, 350.0), (900, 200, 0))
    )


CASES = {
    "an L over a block": (l_shaped(11.9), stepped_tank()),
    "over a roof": (part_of(frame((450.0, 250.0, 60.0), 50.0)), a_roof()),
}

# Given back of every clearance, so that of each case some boxes are open.
GIVEN_MM = {"an L over a block": -80.0, "over a roof": -1.0}


def boxes_of(among: Among, count: int) -> tuple[Floats, Floats]:
    """Return boxes of poses low, high (count, 6), from wide ones to fine ones, most of them inside the walls."""
    random = np.random.default_rng(11)
    low, high = shifts_of(among.envelope, among.points)
    turns = random.uniform(-0.5, 0.5, (count, 3)) + np.pi / 2.0 * random.integers(-1, 2, (count, 3)) * [
        1,
        0,
        1,
    ]
    places = (low + high) / 2.0 + random.uniform(-0.25, 0.25, (count, 3)) * (high - low)
    half = 10.0 ** random.uniform(-4.0, -0.7, (count, 1)) * np.append(np.ones(3), (high - low) / 2.0)
    middle = np.column_stack([turns, places])
    return middle - half, middle + half


def looked_at(name: str, goal_mm: float) -> tuple[Among, Scene, Floats, Floats, tuple[Indices, Floats]]:
    part, tank = CASES[name]
    case = dip_problem(part, tank)
    among = among_of(case)
    low, high = boxes_of(among, BOXES)
    grown = [grown_within(thing, among.clearance_mm + goal_mm) for thing in among.things]
    things = bodies_of(tuple(each for each in grown if each is not None))
    room = room_of(among.envelope, among.points, goal_mm)
    known, _, _, cut = bound_boxes(low, high, bodies_of(among.pieces), things, room, np.full(len(low), -1))
    scene = scene_of(part, tank, (room.normals, room.offsets), -goal_mm)
    assert scene is not None
    return among, scene, low, high, (known, cut)


@pytest.mark.parametrize("name", CASES)
def test_boxes_are_refused_as_by_plain_code(name: str) -> None:
    """Both look along the same directions, by the same bound of how far a point moves, written twice."""
    _, scene, low, high, (known, _) = looked_at(name, GIVEN_MM[name])
    plain, *_ = _look(scene, (low + high) / 2.0, (high - low) / 2.0, np.zeros(len(low), dtype=np.int64))
    assert 20 < (known == REFUSED).sum() < BOXES
    assert (known == OPEN).any()
    assert ((known == REFUSED) == plain).all()


@pytest.mark.parametrize("name", CASES)
def test_no_pose_of_a_refused_box_is_clear(name: str) -> None:
    """Poses anywhere in a box that is refused: a point is beyond a wall, or two bodies are in each other."""
    among, scene, low, high, (known, cut) = looked_at(name, GIVEN_MM[name])
    random = np.random.default_rng(5)
    for i in np.flatnonzero(known == REFUSED)[:60]:
        poses = np.vstack([low[i], high[i], random.uniform(low[i], high[i], (6, 6))])
        assert not any(is_clear(scene, pose) for pose in poses), i
    for i in np.flatnonzero(known == FREE):
        assert is_clear(scene, cut[i, 2:])
    assert len(among.things) == len(scene.things)


def is_clear(scene: Scene, pose: Floats) -> bool:
    """Tell whether a pose (6,) keeps behind the walls and parts every two bodies, by linear programmes."""
    from scipy.optimize import linprog

    turn = _turns(pose[None, :3])[0][0]
    points = scene.points @ turn.T + pose[3:]
    if ((scene.normals @ points.T).max(axis=1) > scene.offsets + ROUNDING_MM).any():
        return False
    for piece in scene.pieces:
        placed = piece.corners @ turn.T + pose[3:]
        for thing in scene.things:
            # Weights of the corners of both that meet in one point: there are such where they overlap.
            system = np.vstack(
                [
                    np.hstack([placed.T, -thing.corners.T]) / 1000.0,
                    np.append(np.ones(len(placed)), np.zeros(len(thing.corners))),
                    np.append(np.zeros(len(placed)), np.ones(len(thing.corners))),
                ]
            )
            done = linprog(np.zeros(system.shape[1]), A_eq=system, b_eq=[0.0, 0.0, 0.0, 1.0, 1.0])
            if done.status == 0:
                return False
    return True


def settling(part: Part, tank: Tank) -> tuple[Room, Floats, Things, Floats]:
    among = among_of(dip_problem(part, tank))
    faces = [faces_of(thing) for thing in among.things]
    things = Things(
        np.ascontiguousarray(np.concatenate([normals for normals, _ in faces])),
        np.concatenate([offsets for _, offsets in faces]),
        np.cumsum([0, *(len(offsets) for _, offsets in faces)]),
    )
    samples = np.ascontiguousarray(part.solid.vertices_mm - among.points.middle_mm)
    return room_of(among.envelope, among.points, 0.0), samples, things, among.points.levers_mm


def out_by(pose: Floats, room: Room, samples: Floats, things: Things, margin: float) -> Floats:
    """Return how far each point is where it may not be: beyond its worst wall, and in each thing."""
    turn = rotation_from(Angles(swing_rad=pose[0], tilt_rad=pose[1], roll_rad=pose[2]))
    walls = (room.normals @ (room.points @ turn.T + pose[3:]).T - room.offsets[:, None]).max(axis=0) + margin
    rows = [walls]
    for first, last in zip(things.at[:-1], things.at[1:], strict=True):
        over = things.normals[first:last] @ (samples @ turn.T + pose[3:]).T
        rows.append(margin - (over - things.offsets[first:last, None]).max(axis=0))
    return np.asarray(np.maximum(np.concatenate(rows), 0.0))


def test_a_push_is_down_the_slope_of_what_is_out() -> None:
    room, samples, things, levers = settling(*CASES["over a roof"])
    random = np.random.default_rng(3)
    for _ in range(8):
        pose = np.append(random.uniform(-1.0, 1.0, 3), random.uniform([200, 50, 0], [900, 450, 300]))
        square, push = np.empty((6, 6)), np.empty(6)
        total, worst = pushes(pose, room, samples, things, levers, 4.0, square, push)
        out = out_by(pose, room, samples, things, 4.0)
        assert total == pytest.approx(float((out**2).sum()), rel=1e-12)
        assert worst == pytest.approx(float(out.max()), rel=1e-12)
        unit = np.append(levers, np.ones(3))
        for j in range(6):
            step = np.zeros(6)
            step[j] = 1e-4 / unit[j]
            ends = [
                (out_by(pose + way * step, room, samples, things, 4.0) ** 2).sum() / 2 for way in (1.0, -1.0)
            ]
            slope = (ends[0] - ends[1]) / 2e-4
            assert push[j] == pytest.approx(-slope, rel=1e-4, abs=1e-3)
        assert np.allclose(square, square.T)
        assert (np.linalg.eigvalsh(square) >= -1e-9 * np.trace(square)).all()


def test_what_has_settled_is_where_it_may_be() -> None:
    part, tank = CASES["over a roof"]
    room, samples, things, levers = settling(part, tank)
    random = np.random.default_rng(9)
    starts = np.column_stack(
        [random.uniform(-0.5, 0.5, (64, 3)), random.uniform([200, 50, 50], [900, 450, 350], (64, 3))]
    )
    wide = np.array([math.pi, math.pi / 2.0, math.pi])
    poses, left = settled(starts, -wide, wide, room, samples, things, levers, 2.0, 60)
    out = np.array([out_by(pose, room, samples, things, 2.0).max() for pose in poses])
    before = np.array([out_by(pose, room, samples, things, 2.0).max() for pose in starts])
    assert out == pytest.approx(left, abs=1e-9)
    assert (left <= 1e-6).sum() >= 8
    assert (before <= 0.0).sum() < (left <= 1e-6).sum()
