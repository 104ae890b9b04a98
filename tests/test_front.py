"""The front for Python: names, nouns made in memory, short reprs, and what every answer can do."""

from __future__ import annotations

import ast
import copy
import importlib
import json
import pickle
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
import trimesh
from oracles.demo_answers import ASKED, SHOP, answer_to
from oracles.public_names import closure

import fitcheck as fc
from fitcheck.files.meshes import read_mesh
from fitcheck.questions.register import QUESTIONS, Question, question_of
from fitcheck.things.tank import ASSUMED_RULES

STUB = Path(fc.__file__).with_suffix(".pyi")
STUBBED = {
    alias.name: f"fitcheck.{node.module}"
    for node in ast.parse(STUB.read_text(encoding="utf-8")).body
    if isinstance(node, ast.ImportFrom)
    for alias in node.names
}
BOX = trimesh.creation.box((300.0, 200.0, 100.0))
# A repr is read in a line of a notebook or a debugger.
LONGEST = 200


def test_the_stub_is_the_one_list() -> None:
    assert sorted(dir(fc)) == sorted(fc.__all__) == sorted(STUBBED)
    for name, module in STUBBED.items():
        assert getattr(fc, name) is getattr(importlib.import_module(module), name)


def test_every_type_that_a_signature_names_can_be_imported() -> None:
    named, _ = closure(STUBBED)
    missing = {name: module for name, module in named if STUBBED.get(name) != module}
    assert missing == {}
    assert {"Verdict", "Prefer", "Spare", "Fill", "Advice", "RailRack", "Progress"} <= STUBBED.keys()


def test_no_name_stands_for_two_things() -> None:
    _, twice = closure(STUBBED)
    assert twice == {}


def test_a_name_that_is_left_out_is_seen() -> None:
    less = {name: module for name, module in STUBBED.items() if name not in {"Spare", "Prefer", "Rail"}}
    named, _ = closure(less)
    assert {"Spare", "Prefer", "Rail"} <= {name for name, module in named if name not in less}


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.kind)
def test_a_question_and_its_answers_are_public(question: Question) -> None:
    assert STUBBED[question.room] == f"fitcheck.questions.{question.room}.ask"
    for name in question.types:
        assert STUBBED[name] == f"fitcheck.questions.{question.room}.answer"
    assert issubclass(getattr(fc, question.types[0]), fc.Answer)
    assert getattr(fc, question.types[0]).kind == question.kind


def test_it_is_there_at_once() -> None:
    """What takes long is loaded when it is asked for; how long that is, `benchmarks/bench_table.py` prints."""
    code = "import sys; before = set(sys.modules); import fitcheck; print(*(set(sys.modules) - before))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = {name.partition(".")[0] for name in done.stdout.split()}
    assert {"fitcheck", "lazy_loader"} <= loaded
    assert not loaded & {"numpy", "scipy", "trimesh", "numba", "matplotlib", "shapely", "typer"}


# --- nouns made in memory


def test_a_mesh_is_read_alike_from_memory_from_a_file_and_from_numbers(tmp_path: Path) -> None:
    BOX.export(tmp_path / "box.stl")
    parts = [
        fc.Part.from_mesh(BOX, "mm", metal="aluminium", name="box"),
        fc.Part.from_mesh(tmp_path / "box.stl", "mm", metal="aluminium"),
        fc.Part.from_mesh(str(tmp_path / "box.stl"), unit="mm", density_kg_l=2.7),
        fc.Part.from_mesh((BOX.vertices, BOX.faces), "mm", mass_kg=16.2, name="box"),
    ]
    for part in parts:
        assert part.name == "box"
        assert part.mass_kg == pytest.approx(0.3 * 0.2 * 0.1 * 2700.0, rel=1e-12)
        assert part.size_mm == (300.0, 200.0, 100.0)
        assert part.centre_mm == pytest.approx(np.zeros(3), abs=1e-9)
    tank = fc.Tank.box("t", (1000.0, 500.0, 400.0))
    levels = {fc.dip(part, tank).advice.fill.level_mm for part in parts}
    assert max(levels) - min(levels) < 1e-6


@pytest.mark.parametrize(("unit", "mm"), [("mm", 1.0), ("cm", 10.0), ("m", 1000.0), ("in", 25.4)])
def test_units_are_kept(unit: str, mm: float) -> None:
    part = fc.Part.from_mesh(BOX, unit, metal="steel", name="b")
    assert part.size_mm == pytest.approx([300.0 * mm, 200.0 * mm, 100.0 * mm], rel=1e-12)
    assert fc.Solid.from_trimesh(BOX, unit).vertices_mm == pytest.approx(BOX.vertices * mm, rel=1e-12)


def test_a_mesh_that_says_its_unit_needs_none() -> None:
    said = BOX.copy()
    said.units = "inches"
    assert fc.Part.from_mesh(said, metal="steel", name="b").size_mm[0] == pytest.approx(7620.0)
    other = fc.Part.from_mesh(said, "mm", metal="steel", name="b")
    assert other.size_mm[0] == 300.0
    assert other.notes == ("its numbers were taken as mm, as stated, though the mesh says otherwise",)
    with pytest.raises(fc.Refused, match="it says another"):
        fc.Solid.from_trimesh(said, "mm")


def test_a_mesh_is_mended_and_noted_as_one_in_a_shop_file(tmp_path: Path) -> None:
    two = trimesh.util.concatenate([BOX, BOX.copy().apply_translation((100.0, 50.0, 0.0))])
    two.invert()
    two.export(tmp_path / "two.stl")
    read = read_mesh(tmp_path / "two.stl", "mm")
    part = fc.Part.from_mesh(two, "mm", metal="steel", name="two")
    assert part.notes == read.notes
    assert any("inside-out" in note for note in part.notes)
    assert any("overlap" in note for note in part.notes)
    assert fc.measure(part).volume_l == pytest.approx(2 * 6.0 - 0.2 * 0.15 * 0.1 * 1000.0, rel=1e-9)


def test_an_open_mesh_is_refused_with_its_place_or_taken_as_sheet() -> None:
    corners = [(0, 0, 0), (300, 0, 0), (300, 200, 0), (0, 200, 0)]
    flat = (np.array(corners, dtype=float), np.array([(0, 1, 2), (0, 2, 3)]))
    with pytest.raises(fc.Refused, match=r"^flat: the mesh is open: .* mm"):
        fc.Part.from_mesh(flat, "mm", metal="steel", name="flat")
    part = fc.Part.from_mesh(flat, "mm", metal="steel", sheet_mm=2.0, name="flat")
    assert part.mass_kg == pytest.approx(0.3 * 0.2 * 0.002 * 7850.0, rel=1e-9)


REFUSED = {
    "no unit": (BOX, {"metal": "steel"}, "does not say its unit; it is 300 x 200 x 100"),
    "no weight": (BOX, {"unit": "mm"}, "its weight is not given"),
    "two weights": (BOX, {"unit": "mm", "metal": "steel", "mass_kg": 3.0}, "both given"),
    "unknown metal": (BOX, {"unit": "mm", "metal": "steal"}, "steel"),
    "no mass": (BOX, {"unit": "mm", "mass_kg": 0.0}, "mass_kg is 0.0"),
    "mass NaN": (BOX, {"unit": "mm", "mass_kg": float("nan")}, "mass_kg is nan"),
    "a scene": (trimesh.Scene(BOX), {"unit": "mm", "metal": "steel"}, "Scene is no mesh"),
    "one array": ((BOX.vertices,), {"unit": "mm", "metal": "steel"}, "vertices and triangles"),
    "plane points": ((BOX.vertices[:, :2], BOX.faces), {"unit": "mm", "metal": "steel"}, r"\(8, 2\)"),
    "four corners": ((BOX.vertices, [(0, 1, 2, 3)]), {"unit": "mm", "metal": "steel"}, "faces of four"),
    "half a corner": (
        (BOX.vertices, BOX.faces + 0.5),
        {"unit": "mm", "metal": "steel"},
        "numbers of vertices",
    ),
    "words": ((BOX.vertices, [("a", "b", "c")]), {"unit": "mm", "metal": "steel"}, "numbers of vertices"),
    "no such corner": ((BOX.vertices, BOX.faces + 7), {"unit": "mm", "metal": "steel"}, "not there"),
    "NaN": ((BOX.vertices * np.nan, BOX.faces), {"unit": "mm", "metal": "steel"}, "not a number"),
    "nothing": ((np.zeros((0, 3)), np.zeros((0, 3), int)), {"unit": "mm", "metal": "steel"}, "no triangles"),
    "no file": ("nowhere.stl", {"unit": "mm", "metal": "steel"}, "there is no such file"),
}


@pytest.mark.parametrize("case", REFUSED)
def test_what_is_no_part_is_refused(case: str) -> None:
    mesh, words, says = REFUSED[case]
    with pytest.raises(fc.Refused, match=says):
        fc.Part.from_mesh(mesh, **words)


def test_a_solid_goes_to_trimesh_and_back() -> None:
    for name in ("P02", "P11", "P20"):
        solid = SHOP.parts[name].solid
        mesh = solid.to_trimesh()
        again = fc.Solid.from_trimesh(mesh, source=solid.source)
        assert np.array_equal(again.vertices_mm, solid.vertices_mm)
        assert np.array_equal(again.triangles, solid.triangles)
        assert mesh.volume == pytest.approx(fc.measure(SHOP.parts[name]).volume_l * 1e6, rel=1e-9)
        mesh.apply_scale(2.0)
        assert np.array_equal(again.vertices_mm, solid.vertices_mm), "a mesh shares the solid's corners"


def test_a_solid_mends_nothing() -> None:
    inverted = BOX.copy()
    inverted.invert()
    with pytest.raises(fc.Refused, match="inside-out"):
        fc.Solid.from_trimesh(inverted, "mm")


def test_a_box_tank_is_the_tank_of_a_shop_file(tmp_path: Path) -> None:
    path = tmp_path / "shop.toml"
    path.write_text(
        '[liquids.etch]\nspecific_gravity = 1.03\n[tanks.t]\ninside = ["1000 mm", "500 mm", "400 mm"]\n'
        'liquid = "etch"\nfillet = "30 mm"\nside_clearance = "10 mm"\nlip = "5 mm"\n',
        encoding="utf-8",
    )
    read = fc.read_shop(path).tanks["t"]
    made = fc.Tank.box(
        "t",
        (1000.0, 500.0, 400.0),
        fc.Liquid("etch", 1.03),
        fc.Rules(side_clearance_mm=10.0),
        fc.Rim(lip_mm=5.0),
        fillet_mm=30.0,
    )
    for field in fields(fc.Tank):
        one, other = getattr(read, field.name), getattr(made, field.name)
        if field.name == "inside":
            assert np.array_equal(one.vertices_mm, other.vertices_mm)
            assert np.array_equal(one.triangles, other.triangles)
        else:
            assert one == other, field.name
    plain = fc.Tank.box("t", (1000.0, 500.0, 400.0))
    assert plain.is_box
    assert not made.is_box


def test_a_clearance_is_never_0_in_silence() -> None:
    tank = fc.Tank.box("t", (1000.0, 500.0, 400.0))
    assert tank.rules == ASSUMED_RULES
    # What is assumed where nobody has said.
    inches = {"side_clearance": 1, "bottom_clearance": 1, "cover": 1, "freeboard": 3, "part_gap": 1}
    inches |= {"tape_part": 1 / 16, "tape_tank": 1 / 8}
    assert {name: getattr(tank.rules, f"{name}_mm") / 25.4 for name in inches} == pytest.approx(inches)
    assert all(getattr(tank.rules, field.name) > 0.0 for field in fields(fc.Rules))
    assert fc.Tank.box("t", (1000.0, 500.0, 400.0), rules=fc.Rules()).rules == fc.Rules()
    with pytest.raises(fc.Refused, match="inside is -1 mm"):
        fc.Tank.box("t", (-1.0, 500.0, 400.0))


# --- reprs


def reached(value: object, seen: set[int]) -> Iterator[object]:
    """Return a value and all that it holds, each once."""
    if id(value) in seen:
        return
    seen.add(id(value))
    if isinstance(value, Mapping):
        held: list[object] = list(value.values())
    elif isinstance(value, tuple | list):
        held = list(value)
    elif is_dataclass(value) and not isinstance(value, type):
        held = [getattr(value, field.name) for field in fields(value)]
    else:
        return
    if type(value).__module__.startswith("fitcheck."):
        yield value
    for each in held:
        yield from reached(each, seen)


def test_every_noun_has_a_short_and_telling_repr() -> None:
    answers = [answer_to(kind) for kind in ASKED]
    seen: set[int] = set()
    nouns = [each for start in (SHOP, *answers) for each in reached(start, seen)]
    assert len({type(each).__name__ for each in nouns}) > 40
    long = {type(each).__name__: len(repr(each)) for each in nouns if not len(repr(each)) < LONGEST}
    assert long == {}
    assert {repr(each) for each in nouns if "\n" in repr(each) or "object at 0x" in repr(each)} == set()
    assert repr(SHOP.parts["P11"]) == "<Part P11: 1200 x 200 x 200 mm, 4.35665 kg>"
    assert repr(SHOP.parts["P14"]).endswith(" kg, 4 of them>")
    assert repr(SHOP.tanks["T1"]) == "<Tank T1: 7315.2 x 406.4 x 609.6 mm inside, etch>"
    assert repr(answer_to("dip")) == "<Fits P11 in T1: fits>"


def test_a_noun_that_holds_much_is_cut_short() -> None:
    names = tuple(f"part {k}" for k in range(100))
    rules = replace(SHOP.rules, **{field.name: 1234.5678 for field in fields(fc.Rules)})
    rack = fc.RailRack("r" * 300, (fc.Rail(1.0, 1.0),), 1.0, needed=names)
    for noun in (rules, rack, fc.Part.from_mesh(BOX, "mm", mass_kg=1.0, name="n" * 500)):
        assert len(repr(noun)) < LONGEST
        assert repr(noun).endswith(">")


# --- answers


def test_there_is_an_answer_to_every_question() -> None:
    assert list(ASKED) == [question.kind for question in QUESTIONS]
    for kind in ASKED:
        assert question_of(answer_to(kind)).kind == kind


@pytest.mark.parametrize("kind", ASKED)
def test_no_answer_is_a_truth_value(kind: str) -> None:
    with pytest.raises(TypeError, match="no yes or no"):
        bool(answer_to(kind))


@pytest.mark.parametrize("kind", ASKED)
def test_an_answer_goes_to_json_and_comes_back(kind: str) -> None:
    answer = answer_to(kind)
    told = json.loads(json.dumps(answer.to_dict(), allow_nan=False))
    again = fc.answer_from_dict(told, SHOP)
    assert type(again) is type(answer)
    assert again.to_dict() == told
    for row in told if isinstance(told, list) else [told]:
        assert [*row][0] == "kind"
        assert row["kind"] == kind or kind == "chart"
        assert all(isinstance(line, str) for line in row["cautions"])


@pytest.mark.parametrize("kind", ASKED)
def test_an_answer_is_told_in_words(kind: str) -> None:
    text = answer_to(kind).text(SHOP)
    assert text.strip()
    assert "<" not in text.replace("<=", ""), "a repr is no word for a foreman"
    ways = [answer_to(kind).text(SHOP), fc.answer_from_dict(answer_to(kind).to_dict(SHOP.show), SHOP).text()]
    assert all(one == other for one, other in pairwise(ways)), "read back it is told otherwise"


DRAWN = [question.kind for question in QUESTIONS if question.has("draw")]


@pytest.mark.parametrize("kind", DRAWN)
def test_an_answer_is_drawn(kind: str, tmp_path: Path) -> None:
    notes = answer_to(kind).draw(tmp_path / "picture.png", SHOP)
    assert (tmp_path / "picture.png").read_bytes().startswith(b"\x89PNG")
    assert all(isinstance(note, str) for note in notes)


@pytest.mark.parametrize("kind", ASKED)
def test_a_notebook_shows_its_picture(kind: str) -> None:
    picture = answer_to(kind)._repr_html_()
    if kind not in DRAWN:
        assert picture is None
        with pytest.raises(fc.Refused, match="there is no picture"):
            answer_to(kind).draw("picture.png", SHOP)
        return
    assert picture is not None
    assert "<svg" in picture[:500]
    assert picture.rstrip().endswith("</svg>")


def test_an_answer_without_its_shop_says_so() -> None:
    alone = replace(answer_to("dip"), asked=None)
    with pytest.raises(fc.Refused, match="give the shop"):
        alone.text()
    assert alone._repr_html_() is None
    assert alone.text(SHOP) == answer_to("dip").text(SHOP)


def test_two_things_of_one_name_are_refused() -> None:
    """One of them would vanish from a chart without a word."""
    one, other = (replace(SHOP.parts[name], name="part") for name in ("P05", "P11"))
    with pytest.raises(fc.Refused, match="two parts are called part"):
        fc.Shop.of(one, other)
    assert list(fc.Shop.of(one, one).parts) == ["part"]


def test_an_answer_and_its_shop_can_be_copied_and_sent() -> None:
    answer = fc.dip(SHOP.parts["P15"], SHOP.tanks["T5"])
    again = pickle.loads(pickle.dumps(answer))  # noqa: S301 - our own bytes
    assert again.to_dict() == answer.to_dict() == copy.deepcopy(answer).to_dict()
    assert list(again.asked.parts) == ["P15"]


def test_a_shop_that_has_not_what_was_asked_is_refused() -> None:
    answer = fc.dip(SHOP.parts["P15"], SHOP.tanks["T5"])
    with pytest.raises(fc.Refused, match="there is no part P15 in this shop"):
        answer.text(fc.Shop(""))


def test_a_wish_that_is_none_is_refused() -> None:
    with pytest.raises(fc.Refused, match="best-drain"):
        fc.dip(SHOP.parts["P15"], SHOP.tanks["T5"], prefer="best_drain")  # type: ignore[arg-type]


@pytest.mark.parametrize(("level_mm", "kind"), [(25.4, "not covered"), (5000.0, "too full")])
def test_a_level_that_does_not_do_is_cautioned_first(level_mm: float, kind: str) -> None:
    answer = fc.dip(SHOP.parts["P08"], SHOP.tanks["T1"], level_mm=level_mm)
    assert answer.cautions[0].kind == kind
    right = fc.dip(SHOP.parts["P08"], SHOP.tanks["T1"])
    assert not {"not covered", "too full"} & {caution.kind for caution in right.cautions}
