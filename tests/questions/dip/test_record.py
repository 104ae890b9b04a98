"""Answers as JSON: the keys that scripts count on, and the same answer when read back."""

from __future__ import annotations

import json
import math
from dataclasses import fields, is_dataclass, replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

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
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.things.caution import Caution
from fitcheck.things.fill import Fill
from fitcheck.things.pockets import Held, Pocket
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.proof import Proof
from fitcheck.things.shop import Shop
from fitcheck.things.solid import Floats
from fitcheck.words.errors import Refused

SHOP = Shop("")
floats = st.floats(-1e6, 1e6)
sizes = st.floats(0.0, 1e6)
texts = st.text(max_size=20)
angles = st.builds(Angles, *(st.floats(-half, half) for half in (math.pi / 2, math.pi, math.pi)))
poses = st.builds(
    lambda turn, shift: Pose("tank", "part", rotation_from(turn), np.array(shift)),
    angles,
    st.tuples(floats, floats, floats),
)
spares = st.builds(Spare, floats, floats | st.just(math.inf), floats, floats | st.just(math.inf))
heads = {
    "part": texts,
    "tank": texts,
    "reason": texts,
    "spare": spares,
    "effort": st.builds(Effort, st.integers(0, 10**9), st.floats(0.0, 1.0)),
    "deciding": st.lists(
        st.builds(Deciding, st.sampled_from(["length", "width", "height", "walls"]), floats), max_size=3
    ).map(tuple),
    "cautions": st.lists(texts, max_size=3, unique=True).map(
        lambda each: tuple(Caution.of("as told", words=words) for words in each)
    ),
    "asked": st.just(SHOP),
}


def cells(rows: list[tuple[float, float, float]]) -> Floats:
    return np.array(rows)


pockets = st.builds(
    Pocket, st.sampled_from(["air", "liquid"]), *[sizes] * 3, st.tuples(*[floats] * 3), floats
)
advices = st.builds(
    Advice,
    poses,
    floats,
    st.builds(Fill, *[floats] * len(fields(Fill))),
    st.builds(Held, st.lists(pockets, max_size=3).map(tuple)),
    floats,
    sizes,
)
leasts = st.builds(LeastLevel, sizes, sizes, poses)
cures = st.lists(st.builds(Cure, st.sampled_from(["length", "side_clearance"]), sizes), max_size=3).map(tuple)


def leaves_of(columns: int) -> st.SearchStrategy[Proof]:
    """Return cells of rotations (2 columns) or boxes of poses (4)."""
    return st.integers(1, 4).flatmap(
        lambda count: st.builds(
            Proof, *[st.lists(st.tuples(*[floats] * 3), min_size=count, max_size=count).map(cells)] * columns
        )
    )


proofs = st.one_of(
    leaves_of(2),
    leaves_of(4),
    st.builds(lambda proof, on_end: replace(proof, on_end=on_end), leaves_of(4), leaves_of(4)),
)
answers = st.one_of(
    st.builds(Fits, **heads, advice=advices, roomiest=poses, least=leasts, verdict=st.just("fits")),
    st.builds(DoesNotFit, **heads, nearest=poses, proof=proofs, cures=cures, verdict=st.just("does not fit")),
    st.builds(
        MeasureAgain, **heads, advice=advices, least=leasts | st.none(), verdict=st.just("measure again")
    ),
    st.builds(NotFound, **heads, nearest=poses, next_try=texts, verdict=st.just("not found")),
)


def read_back(data: object) -> DipAnswer:
    answer = from_dict(data, SHOP)
    assert isinstance(answer, Fits | DoesNotFit | MeasureAgain | NotFound)
    return answer


def same(one: object, other: object) -> bool:
    """Whether two answers are equal, field by field; a pose is compared by its numbers."""
    if isinstance(one, Pose) and isinstance(other, Pose):
        return np.array_equal(one.matrix, other.matrix) and one.to_frame == other.to_frame
    if isinstance(one, Shop):
        return one is other
    if is_dataclass(one):
        return type(one) is type(other) and all(
            same(getattr(one, field.name), getattr(other, field.name)) for field in fields(one)
        )
    if isinstance(one, np.ndarray):
        return np.array_equal(one, np.asarray(other))
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(same(a, b) for a, b in zip(one, other, strict=True))
    return one == other


@given(answers)
def test_an_answer_comes_back_as_it_was(answer: DipAnswer) -> None:
    written = json.dumps(to_dict(answer), allow_nan=False)
    assert same(read_back(json.loads(written)), answer)


def pose(**turn: float) -> Pose:
    return Pose("tank", "part", rotation_from(Angles(**turn)), np.array([1.0, 2.0, 3.0]))


FILL = Fill(400.0, 200.0, 200.0, 90.0, 390.0, 10.0, 1.5, 0.0)
HELD = Held(
    (
        Pocket("air", 1.5, 0.01, 0.2, (1.0, 2.0, 3.0), 40.0),
        Pocket("liquid", 0.25, 0.002, 0.1, (4.0, 5.0, 6.0), -7.0),
    )
)
FITS = Fits(
    "boom", "T1", "there is room", Spare(2.5, 2.6, 1.0, 4.0), Effort(10, 0.0),
    advice=Advice(pose(tilt_rad=math.pi / 6, roll_rad=-math.pi / 4), 2.0, FILL, HELD, -12.5, 9.25),
    roomiest=pose(), least=LeastLevel(380.0, 379.0, pose()),
)  # fmt: skip


def test_the_keys_that_scripts_count_on() -> None:
    data = to_dict(FITS)
    assert (data["verdict"], data["part"], data["tank"]) == ("fits", "boom", "T1")
    assert (data["spare_mm"], data["spare_at_most_mm"]) == (2.5, 2.6)
    assert (data["spare_low_mm"], data["spare_high_mm"]) == (1.0, 4.0)
    assert (data["least_level_mm"], data["least_level_at_least_mm"]) == (380.0, 379.0)
    shown = data["pose"]
    assert isinstance(shown, dict)
    assert shown["tilt_deg"] == pytest.approx(30.0)
    assert shown["roll_deg"] == pytest.approx(-45.0)
    assert shown["swing_deg"] == pytest.approx(0.0)
    assert shown["spare_mm"] == 2.0
    assert shown["matrix"][0][3] == 1.0
    assert data["fill"] == {
        "level_mm": 400.0, "from_rim_mm": 200.0, "freeboard_mm": 200.0, "liquid_l": 90.0,
        "level_before_mm": 390.0, "rise_mm": 10.0, "displaced_l": 1.5, "overflow_l": 0.0,
    }  # fmt: skip


def test_what_has_no_value_is_absent() -> None:
    open_bound = replace(FITS, spare=Spare(2.5, math.inf, 1.0, math.inf))
    data = to_dict(open_bound)
    assert "spare_at_most_mm" not in data
    assert "spare_high_mm" not in data
    assert "cures" not in data
    assert same(read_back(data), replace(open_bound, asked=SHOP))


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("verdict", "perhaps"),
        ("verdict", None),
        ("part", 3),
        ("spare_mm", "much"),
        ("spare_mm", True),
        ("pose", []),
        ("pose", {"matrix": [[1, 0], [0, 1]], "spare_mm": 1.0}),
        ("pose", {"matrix": "none", "spare_mm": 1.0}),
        ("fill", {"level_mm": 1.0}),
        ("deciding", [{"side": "lid", "spare_mm": 1.0}]),
        ("cautions", [1]),
        ("effort", None),
    ],
)
def test_a_tampered_answer_is_refused_by_name(key: str, value: object) -> None:
    with pytest.raises(Refused):
        read_back(to_dict(FITS) | {key: value})


NO = DoesNotFit(
    "mast", "T1", "too long", Spare(-3.0, -2.9, -4.0, -2.0), Effort(10, 0.0),
    nearest=pose(), proof=Proof(cells([(0.1, 0.2, 0.3)]), cells([(1.0, 1.0, 1.0)])),
)  # fmt: skip


@pytest.mark.parametrize(
    "proof",
    [None, {}, {"middle_rad": [[1, 2, 3]]}, {"middle_rad": [[1, 2]], "half_rad": [[1, 2]]},
     {"middle_rad": [[1, 2, 3]], "half_rad": [[1, 2, 3], [1, 2, 3]]},
     {"middle_rad": [[1, 2, "x"]], "half_rad": [[1, 2, 3]]},
     {"middle_rad": [[1, 2, float("nan")]], "half_rad": [[1, 2, 3]]}],
)  # fmt: skip
def test_a_proof_with_pieces_missing_is_refused(proof: object) -> None:
    with pytest.raises(Refused):
        read_back(to_dict(NO) | {"proof": proof})


def test_a_mirrored_pose_is_refused() -> None:
    data = json.loads(json.dumps(to_dict(FITS)))
    data["pose"]["matrix"][0] = [-value for value in data["pose"]["matrix"][0]]
    with pytest.raises(Refused):
        read_back(data)


@pytest.mark.parametrize("data", [None, [], "fits", 3, {}])
def test_what_is_no_answer_is_refused(data: object) -> None:
    with pytest.raises(Refused):
        read_back(data)
