"""The house keeps its shape: who may import whom, where a factor may be written, what lies at the top."""

from __future__ import annotations

import ast
import io
import re
import subprocess
import sys
import tokenize
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "fitcheck"
LAYERS = ("words", "things", "shapes", "geometry", "questions", "rim")

# A question that is stated in terms of another may use it; nothing else may.
QUESTIONS_USING_QUESTIONS = {
    ("among", "case"),  # one part in one tank
    ("dip", "room_answer"),  # the answer in an empty tank
    ("dip", "among_answer"),  # and among what stands there
    ("room_answer", "case"),
    ("room_answer", "advice"),  # which of the ways that fit
    ("room_answer", "at_hand"),
    ("room_answer", "getting_in"),  # whether it can be lowered there
    ("room_answer", "prove"),  # every "fits" is checked by exact distance before it is told
    ("room_answer", "ways_up"),
    ("among_answer", "room_answer"),  # in a room beside what stands there
    ("among_answer", "among"),  # a clear pose among it
    ("among_answer", "advice"),
    ("among_answer", "case"),
    ("among_answer", "fill"),  # the level that covers it
    ("among_answer", "getting_in"),
    ("among_answer", "prove"),
    ("among_answer", "ways_up"),
    ("dip", "getting_in"),  # whether it can be lowered there
    ("getting_in", "among"),
    ("getting_in", "case"),
    ("hang", "among"),  # the rooms left free by what stands in the tank
    ("pocket", "among"),
    ("prove_dip", "prove_way"),  # the way in
    ("prove_way", "prove"),
    ("prove_no", "prove_cover"),  # the cells hold every rotation
    ("prove_no", "prove_walls"),
    ("prove_no", "prove_among"),  # boxes of poses among what stands there
    ("dip", "case"),  # one part in one tank
    ("dip", "cures"),  # what would make it fit
    ("dip", "advice"),  # which of the ways that fit
    ("dip", "fill"),  # the level that covers it
    ("advice", "case"),
    ("advice", "fill"),  # the liquid for the pose advised
    ("advice", "pocket"),  # the air and liquid caught there
    ("advice", "ways_up"),
    ("block", "corner"),  # how the parts hang out of the way
    ("block", "block_pieces"),  # what the boxes are built of
    ("block", "cutting"),  # how the boards are laid on sheets
    ("block", "dam"),  # a board in their stead
    ("block", "prove"),  # every part is checked by exact distance with the pieces in
    ("corner", "dip"),  # how each part hangs in the empty tank
    ("corner", "fill"),  # the liquid that takes
    ("corner", "prove"),  # every part is checked by exact distance where it is moved to
    ("corner", "ways_up"),  # what it catches, made ready once
    ("dam", "block_pieces"),
    ("dam", "corner"),
    ("passes", "dip"),  # one pass, or the proof that it will not do
    ("passes", "case"),
    ("passes", "let_down"),
    ("passes", "two_passes"),  # with one turn between them
    ("passes", "more_passes"),  # the fewest of many attitudes
    ("passes", "pass_bounds"),  # what is proven not to do
    ("passes", "springing"),  # sheet that goes in bent
    ("let_down", "case"),
    ("let_down", "at_hand"),  # the air that each pass keeps
    ("let_down", "fill"),  # the liquid for each pass
    ("let_down", "prove"),  # every pass is checked by exact distance before it is told
    ("two_passes", "let_down"),
    ("more_passes", "let_down"),
    ("more_passes", "two_passes"),
    ("pass_bounds", "let_down"),
    ("hang", "picks"),  # where it is slung
    ("hang", "slung"),  # one part slung from its picks
    ("hang", "loads"),  # what pulls, in air and wet
    ("hang", "sag"),
    ("hang", "rigs"),  # other ways to lift by the same picks
    ("hang", "case"),  # which flatter way still fits the tank
    ("rigs", "loads"),
    ("rigs", "slung"),
    ("loads", "pocket"),  # the air and liquid caught
    ("loads", "ways_up"),
    ("pocket", "ways_up"),  # the map over tilts and rolls
    ("pocket", "case"),  # where on the map it fits
    ("prove_carry", "prove_no_way"),  # that there is none, or none with more to spare
    ("prove_room", "prove_layout"),  # that there is none
    ("prove_store", "prove_racks"),  # what is ruled out
    ("prove_dip", "prove"),  # poses by exact distance
    ("prove_dip", "prove_no"),  # every cell of a proof
    ("prove_dip", "fill"),  # the liquid at the pose
    ("prove_pass", "prove"),  # poses by exact distance
    ("prove_pass", "prove_dip"),  # how near two ways to one number must be
    ("prove_pass", "prove_no"),  # the room at one rotation
    ("prove_pass", "prove_fewer"),  # what is said to be too few
    ("prove_pass", "prove_sprung"),
    ("prove_pass", "springing"),  # the shape of the sheet as it goes in
    ("prove_pass", "fill"),
    ("prove_fewer", "prove_no"),  # that one will not do
    ("prove_fewer", "prove_dip"),
    ("prove_sprung", "prove_dip"),
    ("chart", "dip"),  # a dip for each part and tank
    ("chart", "at_hand"),  # what is made ready once for all tanks
    ("dip", "at_hand"),
    ("advice", "at_hand"),
    ("at_hand", "ways_up"),
    ("as_built", "dip"),  # which answers change
    ("as_built", "fill"),  # the water of the tank as taped
    ("tank_for", "passes"),  # and in two passes
    ("tank_for", "dip"),  # every part is asked again in the tank found
    ("mix", "dip"),  # how each part hangs, and what it carries out
    ("mix", "fill"),
    ("mix", "measure"),  # the surface that is wetted
    ("lowering", "fill"),  # the room for liquid
    ("room", "room_rules"),  # what may not stand where
    ("arrange", "room"),  # every layout found is checked as any other
    ("arrange", "room_rules"),
    ("store", "rail_hang"),  # parts on rails
    ("store", "lie_in_bays"),  # parts in bays
    ("rail_hang", "square"),  # the ways to hold a part square to a rack
    ("prove_loads", "prove_lot"),  # each load
    ("prove_loads", "lot"),  # the bounds again
    ("prove_loads", "lot_ways"),
    ("prove_loads", "ladder"),
    ("prove_loads", "block_pieces"),
    ("day", "lot"),  # what goes in together
    ("day", "lot_ways"),
    ("day", "lot_fewest"),
    ("day", "rack_places"),  # what takes it dry
    ("day", "store"),
    ("rack_places", "store"),  # whether pieces go on a rail together
    ("prove_day", "day"),  # the bound again
    ("prove_day", "lot_ways"),
    ("prove_day", "prove_lot"),  # each load
    ("prove_day", "rack_places"),
    ("ladder", "lot"),  # its loads
    ("ladder", "lot_ways"),
    ("ladder", "footprint"),
    ("ladder", "ladder_sets"),  # parts and blocks in their places
    ("ladder", "few_blocks"),
    ("ladder", "beside"),
    ("ladder", "block_pieces"),
    ("ladder_sets", "block"),
    ("ladder_sets", "beside"),  # what stands beside them
    ("ladder_sets", "block_pieces"),
    ("ladder_sets", "few_blocks"),  # such as are built once
    ("ladder_sets", "fill"),
    ("ladder_sets", "footprint"),
    ("ladder_sets", "lot_fewest"),
    ("ladder_sets", "lot_ways"),
    ("few_blocks", "block"),
    ("few_blocks", "block_pieces"),
    ("prove_few", "ladder"),  # what each block saves
    ("prove_few", "lot_ways"),
    ("prove_few", "prove_loads"),
    ("beside", "block"),
    ("beside", "block_pieces"),
    ("ladder", "ladder_bound"),
    ("ladder_bound", "fill"),
    ("lot", "footprint"),
    ("lot", "lot_bound"),
    ("lot", "lot_fewest"),
    ("lot", "lot_ways"),
    ("lot", "fill"),
    ("lot_ways", "dip"),  # which tank takes a part
    ("lot_ways", "footprint"),  # the ways it may hang beside others
    ("lot_ways", "ways_up"),
    ("lot_fewest", "lot_ways"),
    ("lot_fewest", "footprint"),
    ("lot", "prove_lot"),  # every load is looked at again before it is told
    ("footprint", "among"),  # the rooms that what stands in the tank leaves
    ("footprint", "case"),
    ("footprint", "fill"),
    ("footprint", "pocket"),  # what it catches
    ("prove_lot", "prove"),  # each part by exact distance
    ("prove_lot", "fill"),
    ("prove_lot", "lifting"),  # the hook, from the picks alone
    ("footprint", "lifting"),  # whether it comes out again
    ("lifting", "slung"),
    ("lifting", "picks"),
    ("lifting", "sag"),
    ("lie_in_bays", "square"),
    ("lie_in_bays", "case"),  # a part in one bay, turned any way
    ("lie_in_bays", "sag"),
}
SEARCHERS = tuple(
    f"fitcheck.geometry.{name}" for name in (
        "search", "support", "cells", "envelope", "programme",
        "overhang", "wetted", "cover", "wet_bound", "stretches",
        "six", "settling", "sides", "hulls",
        "carry_search", "carry_slices", "carry_chain", "carry_ways", "carry_tilts", "carry_outlines",
        "carry_check", "carry_path", "carry_ends",
    )
)  # fmt: skip

# Heavy or narrow libraries, and the only places that may import them.
ALLOWED_IN = {
    "typer": ("rim/cli/",),
    "rich": ("rim/cli/",),
    "pyvista": ("rim/draw/",),
    "vtkmodules": ("rim/draw/",),
    "vtk": ("rim/draw/",),
    "matplotlib": ("rim/draw/",),
    "mpl_toolkits": ("rim/draw/",),
    "contourpy": ("rim/draw/",),
    "PIL": ("rim/draw/", "rim/sheet/pdf.py"),
    "reportlab": ("rim/sheet/pdf.py",),
    "jinja2": ("rim/sheet/web.py",),
    "trimesh": ("rim/files/meshes.py", "rim/files/posed.py"),
    "cascadio": ("rim/files/meshes.py",),
    "nicegui": ("rim/page/",),
    "tomlkit": ("rim/page/",),
    "tree_sitter": ("rim/files/",),
    "tree_sitter_toml": ("rim/files/",),
    "distributed": ("rim/cli/crew.py",),
    "fcl": ("geometry/distance.py",),
    "numba": ("geometry/",),
    "ortools": ("geometry/",),
    "ezdxf": ("rim/files/",),
    "manifold3d": ("shapes/", "geometry/", "questions/fill.py", "rim/draw/"),
}
# Conversions belong to words/units.py. Whole words only: 25.4 but not 125.4.
FACTORS = re.compile(
    r"25\.4\d*|304\.8\d*|0\.0254|231(\.0)?|3\.785\d*|0\.453\d*|2\.204\d*|9\.80\d*|4\.448\d*|57\.29\d*|0\.01745\d*"
)
TURNS = re.compile(r"pi\s*/\s*180|180(\.0)?\s*/\s*(math|np)\.pi")
HEAVY = (
    "scipy",
    "trimesh",
    "pyvista",
    "vtkmodules",
    "matplotlib",
    "fcl",
    "manifold3d",
    "shapely",
    "cascadio",
    "numba",
    "ortools",
    "ezdxf",
)

FILES = sorted(PACKAGE.rglob("*.py"))


def _id(path: Path) -> str:
    return path.relative_to(PACKAGE).as_posix()


def _module(path: Path) -> str:
    return ".".join(("fitcheck", *path.relative_to(PACKAGE).with_suffix("").parts)).removesuffix(".__init__")


def imports_of(source: str, module: str) -> set[str]:
    """Return every module that a source imports, wherever it stands; `from a import b` gives a and a.b."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                base = ".".join([*module.split(".")[: -node.level], *filter(None, [node.module])])
            found |= {base} | {f"{base}.{alias.name}" for alias in node.names}
    return found


def wrong_arrows(source: str, module: str) -> set[str]:
    """Return the imports of `module` that run against the layers, or from one question into another."""
    layer, _, question = module.removeprefix("fitcheck.").partition(".")
    if layer not in LAYERS:
        return set()
    ours = {name for name in imports_of(source, module) if name.split(".")[0] == "fitcheck"}
    return {name for name in ours if _is_wrong(layer, question, *name.split(".")[1:])}


def _is_wrong(layer: str, question: str, to_layer: str = "", to_question: str = "", *_: str) -> bool:
    if to_layer not in LAYERS or LAYERS.index(to_layer) > LAYERS.index(layer):
        return True
    between_questions = layer == to_layer == "questions" and to_question not in {"", question}
    return between_questions and (question, to_question) not in QUESTIONS_USING_QUESTIONS


@pytest.mark.parametrize("path", FILES, ids=_id)
def test_imports_run_with_the_layers(path: Path) -> None:
    assert not wrong_arrows(path.read_text(encoding="utf-8"), _module(path))


@pytest.mark.parametrize(
    ("module", "line"),
    [
        ("fitcheck.words.units", "from fitcheck.things.part import Part"),
        ("fitcheck.geometry.search", "import fitcheck.questions.dip"),
        ("fitcheck.questions.fill", "def f():\n    from fitcheck.rim.draw import draw_dip"),
        ("fitcheck.questions.fill", "from fitcheck.questions.dip import dip"),
        ("fitcheck.questions.prove", "from fitcheck.questions import dip"),
        ("fitcheck.things.part", "from ..geometry import search"),
        ("fitcheck.things.part", "import fitcheck"),
    ],
)
def test_a_wrong_arrow_is_seen(module: str, line: str) -> None:
    assert wrong_arrows(line, module)


def test_what_proves_shares_nothing_with_what_searches() -> None:
    """Follow the imports of `prove` to their end: none of the searchers may be among them."""
    seen: set[str] = set()
    names = ("prove", "prove_no", "prove_dip", "prove_pass", "prove_lot", "prove_carry")
    todo = [f"fitcheck.questions.{name}" for name in names]
    modules = {_module(path): path for path in FILES}
    while todo:
        name = todo.pop()
        if name in seen or name not in modules:
            continue
        seen.add(name)
        todo += imports_of(modules[name].read_text(encoding="utf-8"), name)
    assert "fitcheck.questions.prove" in seen
    assert not seen & set(SEARCHERS)


@pytest.mark.parametrize("path", FILES, ids=_id)
def test_libraries_stay_where_they_belong(path: Path) -> None:
    place = _id(path)
    tops = {name.split(".")[0] for name in imports_of(path.read_text(encoding="utf-8"), _module(path))}
    strays = {top for top in tops & ALLOWED_IN.keys() if not place.startswith(ALLOWED_IN[top])}
    assert not strays


def factors_in(source: str) -> list[str]:
    """Return every number in a source (not in its texts or comments) that is a unit's conversion."""
    tokens = tokenize.generate_tokens(io.StringIO(source).readline)
    return [t.string for t in tokens if t.type == tokenize.NUMBER and FACTORS.fullmatch(t.string)]


@pytest.mark.parametrize("path", FILES, ids=_id)
def test_conversions_are_written_once(path: Path) -> None:
    source = path.read_text(encoding="utf-8")
    if _id(path) == "words/units.py":
        return
    assert not factors_in(source)
    assert not TURNS.search(source)


def test_a_conversion_is_seen() -> None:
    assert factors_in("mm = inches * 25.4  # 231") == ["25.4"]


def test_the_top_level_holds_only_what_belongs_there() -> None:
    # What was asked for by the README's commands may lie beside it, so only what is kept counts.
    listed = subprocess.run(
        ["git", "ls-files", "--cached"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    kept = ROOT / "fitcheck.egg-info" / "SOURCES.txt"  # of an unpacked source archive
    lines = listed.stdout if listed.returncode == 0 else kept.read_text(encoding="utf-8")
    names = {line.split("/")[0] for line in lines.splitlines()}
    allowed = {
        "README.md",
        "DEVELOPERS.md",
        "docs",
        "pyproject.toml",
        "LICENSE",
        "CHANGELOG.md",
        "MANIFEST.in",
        "fitcheck",
        "meshes",
    }
    # What setuptools adds to a source archive comes last.
    allowed |= {"tests", "examples", "fitcheck.egg-info", "setup.cfg", "PKG-INFO"}
    assert {name for name in names if not name.startswith(".")} <= allowed


@pytest.mark.parametrize("words", [["--help"], ["dip", "--help"], ["fill", "--help"]])
def test_help_loads_nothing_heavy(words: list[str]) -> None:
    seen = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "fitcheck", *words],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    loaded = {line.rsplit("|", 1)[-1].strip().split(".")[0] for line in seen.stderr.splitlines()}
    assert "typer" in loaded
    assert not loaded & set(HEAVY)


def test_importing_the_package_loads_nothing_heavy() -> None:
    source = f"import sys, fitcheck; print(*(set(sys.modules) & set({HEAVY!r})))"
    seen = subprocess.run([sys.executable, "-c", source], capture_output=True, text=True, check=True)
    assert not seen.stdout.split()
