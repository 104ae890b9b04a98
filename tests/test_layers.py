"""The house keeps its shape: who may import whom, where a factor may be written, what lies at the top."""

from __future__ import annotations

import ast
import graphlib
import io
import re
import subprocess
import sys
import tokenize
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "fitcheck"
# Downwards: each may import from those to its left.
FOLDERS = [
    "words",
    "things",
    "shapes",
    "geometry",
    "proving",
    "files",
    "say",
    "draw",
    "questions",
    "sheet",
    "page",
    "cli",
]
# What a door of a room may import: the folders up to one, and doors of any room, by file name. A helper has the
# rights of the door that its name begins with (`draw_map.py`), else those of `ask.py`.
BELOW_FILES = ["words", "things", "shapes", "geometry", "proving"]
DOORS = {
    "answer": (["words", "things"], ["answer"]),
    "ask": (BELOW_FILES, ["answer", "ask"]),
    "prove": (BELOW_FILES, ["answer", "prove"]),
    "again": (BELOW_FILES, ["answer", "prove", "ask", "again"]),
    "record": (["words", "things"], ["answer", "record"]),
    "say": (["words", "things", "say"], ["answer", "say"]),
    "draw": ([*BELOW_FILES[:-1], "files", "say", "draw"], ["answer", "say", "draw"]),
    "page": (["words", "things", "geometry", "say", "draw"], ["answer", "say", "draw", "page"]),
    "command": (
        FOLDERS,
        ["answer", "prove", "again", "record", "say", "draw", "page", "ask", "register", "command"],
    ),
}
# What finds: nothing that proves reaches any of it, however far its imports are followed.
SEARCHERS = {
    "fitcheck.geometry.rotations.rotation_search",
    "fitcheck.geometry.rotations.rotation_cells",
    "fitcheck.geometry.rotations.support_function",
    "fitcheck.geometry.rotations.envelope",
    "fitcheck.geometry.rotations.small_lp",
    "fitcheck.geometry.poses.pose_search",
    "fitcheck.geometry.poses.pose_relaxation",
    "fitcheck.geometry.poses.free_regions",
    "fitcheck.geometry.poses.insertion_path",
    "fitcheck.geometry.convex.convex_bodies",
    "fitcheck.geometry.liquid.overhang",
    "fitcheck.geometry.liquid.halfspace_area",
    "fitcheck.geometry.liquid.set_cover",
    "fitcheck.geometry.liquid.wet_bound",
    "fitcheck.geometry.carry",
    "fitcheck.geometry.solver",
    "fitcheck.geometry.plan.outline_nesting",
    "fitcheck.geometry.plan.aisles",
}

# Heavy or narrow libraries, and the only places that may import them.
ALLOWED_IN = {
    "typer": ("cli/",),
    "rich": ("cli/", "say/tables.py"),
    "pyvista": ("draw/",),
    "vtkmodules": ("draw/",),
    "vtk": ("draw/",),
    "matplotlib": ("draw/",),
    "mpl_toolkits": ("draw/",),
    "contourpy": ("draw/",),
    "PIL": ("draw/", "sheet/pdf.py"),
    "reportlab": ("sheet/pdf.py",),
    "jinja2": ("sheet/web.py",),
    "trimesh": ("files/meshes.py", "files/mesh_parts.py", "files/posed_mesh.py"),
    "cascadio": ("files/meshes.py",),
    "nicegui": ("page/",),
    "tomlkit": ("page/",),
    "tree_sitter": ("files/",),
    "tree_sitter_toml": ("files/",),
    "distributed": ("cli/crew.py",),
    "fcl": ("geometry/mesh/distance.py",),
    "numba": ("geometry/",),
    "ortools": ("geometry/",),
    "ezdxf": ("draw/",),
    "manifold3d": ("shapes/", "geometry/", "proving/", "draw/"),
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


def place_of(module: str) -> tuple[str, str, str]:
    """Return the folder of a module and, in a room, the room and its door; the package itself is ""."""
    steps = [*module.split(".")[1:], "", "", ""]
    if steps[0] != "questions" or not steps[1]:
        return steps[0], "", ""
    if steps[1] == "register" or not steps[2]:
        return "questions", steps[1], "register" if steps[1] == "register" else ""
    door = steps[2].split("_")[0]
    return "questions", steps[1], door if door in DOORS else "ask"


def wrong_arrows(source: str, module: str) -> set[str]:
    """Return the imports of `module` that run upwards, or through a door that is not for it."""
    known = {_module(path) for path in FILES}
    ours = {name for name in imports_of(source, module) if name.split(".")[0] == "fitcheck"}
    # `from package import module` names both: the package itself is no door.
    whole = {
        name for name in ours if not any(other.startswith(f"{name}.") and other in known for other in ours)
    }
    return {name for name in whole if name in known or name.count(".") < 2 if _is_wrong(module, name)}


def _is_wrong(module: str, name: str) -> bool:
    folder, room, door = place_of(module)
    to, _, to_door = place_of(name)
    if folder not in FOLDERS:  # the package itself and its command
        return False
    if door in DOORS and room != "register":
        folders, doors = DOORS[door]
        return to_door not in doors if to == "questions" else to not in folders
    if door == "register":
        return to == "questions" or FOLDERS.index(to) > FOLDERS.index("questions")
    return to not in FOLDERS or FOLDERS.index(to) > FOLDERS.index(folder)


@pytest.mark.parametrize("path", FILES, ids=_id)
def test_imports_run_downwards_and_through_doors(path: Path) -> None:
    assert not wrong_arrows(path.read_text(encoding="utf-8"), _module(path))


@pytest.mark.parametrize(
    ("module", "line"),
    [
        ("fitcheck.words.units", "from fitcheck.things.part import Part"),
        ("fitcheck.geometry.rotations.rotation_search", "import fitcheck.questions.dip.ask"),
        ("fitcheck.questions.fill.ask", "def f():\n    from fitcheck.draw import ink"),
        ("fitcheck.questions.fill.say", "from fitcheck.questions.dip.ask import dip"),
        ("fitcheck.questions.dip.prove", "from fitcheck.questions.dip import advice"),
        ("fitcheck.questions.dip.draw_map", "from fitcheck.cli.options import ShopFile"),
        ("fitcheck.proving.exact_gaps", "from fitcheck.questions.dip import ask"),
        ("fitcheck.things.part", "from ..geometry.mesh import measure"),
        ("fitcheck.things.part", "import fitcheck"),
    ],
)
def test_a_wrong_arrow_is_seen(module: str, line: str) -> None:
    assert wrong_arrows(line, module)


def room_arrows() -> dict[str, set[str]]:
    """Return which rooms each room uses, by whatever door."""
    arrows: dict[str, set[str]] = {}
    for path in FILES:
        _, room, door = place_of(_module(path))
        if door in DOORS:
            used = {place_of(name) for name in imports_of(path.read_text(encoding="utf-8"), _module(path))}
            arrows.setdefault(room, set()).update(to for _, to, by in used if by in DOORS and to != room)
    return arrows


def test_rooms_use_each_other_in_no_circle_and_on_few_floors() -> None:
    arrows = room_arrows()
    floors: dict[str, int] = {}
    for room in graphlib.TopologicalSorter(arrows).static_order():  # raises where there is a circle
        floors[room] = 1 + max((floors[to] for to in arrows.get(room, ())), default=0)
    assert len(floors) == len({path.parent for path in FILES if place_of(_module(path))[2] in DOORS})
    assert max(floors.values()) <= 8, floors


def test_no_folder_is_crowded() -> None:
    counts = {folder: len(list(folder.glob("*.py"))) for folder in {path.parent for path in FILES}}
    assert {str(folder): n for folder, n in counts.items() if n > 30} == {}


def reached_from(names: set[str]) -> set[str]:
    """Return all modules of ours that some modules import, however far."""
    modules = {_module(path): path for path in FILES}
    seen: set[str] = set()
    todo = sorted(names)
    while todo:
        name = todo.pop()
        if name not in seen and name in modules:
            seen.add(name)
            todo += imports_of(modules[name].read_text(encoding="utf-8"), name)
    return seen


def test_what_proves_reaches_no_search_and_no_question() -> None:
    provers = {_module(path) for path in FILES if place_of(_module(path))[2] == "prove"}
    provers |= {_module(path) for path in FILES if _module(path).startswith("fitcheck.proving.")}
    seen = reached_from(provers)
    assert "fitcheck.proving.exact_gaps" in seen
    assert not {name for name in seen if any(f"{name}.".startswith(f"{each}.") for each in SEARCHERS)}
    assert not {name for name in seen if place_of(name)[2] == "ask"}


@pytest.mark.parametrize("path", FILES, ids=_id)
def test_libraries_stay_where_they_belong(path: Path) -> None:
    place = _id(path)
    tops = {name.split(".")[0] for name in imports_of(path.read_text(encoding="utf-8"), _module(path))}
    # A door of a room may use what the folder of its kind may: a picture draws, a command speaks.
    kin = {"draw": "draw/", "command": "cli/"}.get(place_of(_module(path))[2], place)
    strays = {top for top in tops & ALLOWED_IN.keys() if not kin.startswith(ALLOWED_IN[top])}
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
    names = {line.split("/")[0] for line in listed.stdout.splitlines()}
    if listed.returncode:  # an unpacked source archive: git does not know it
        commands = re.findall(
            r"^```sh\n(.*?)^```$", (ROOT / "README.md").read_text(), re.MULTILINE | re.DOTALL
        )
        names = {path.name for path in ROOT.iterdir()} - set(" ".join(commands).split())
    files = {"README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "pyproject.toml"}
    folders = {"fitcheck", "meshes", "tests", "examples"}
    assert files | folders <= names
    # A source archive has its metadata beside them.
    assert {name for name in names if not name.startswith(".")} <= files | folders | {"PKG-INFO"}


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
