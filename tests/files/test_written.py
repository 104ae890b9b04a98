"""Files are written whole or not at all: no fault, no Ctrl-C and no second process leaves half of one."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from conftest import NEVER_ENDS_S

from fitcheck.files.written import check_place, clear_away, scratch_folder, whole, write_all, write_text
from fitcheck.words.errors import Refused

# A line of an example in a docstring, which a doctest runs in a folder of its own.
EXAMPLE = re.compile(r"^ *(>>>|\.\.\.) .*$", re.MULTILINE)
# Calls that write: `replace` of texts and of fields have more than one word, and an array is no file.
WRITES = re.compile(
    r"\.(write_text|write_bytes|savefig|saveas|savez?|tofile|rename|touch|mkdir|replace(?=\(\w+\))|open(?=\(.?[wax]))\("
)


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


@pytest.mark.parametrize("fault", [ValueError, KeyboardInterrupt, OSError(28, "No space left on device")])
def test_what_was_there_stays_where_writing_ends_early(tmp_path: Path, fault: BaseException) -> None:
    path = tmp_path / "chart.csv"
    write_text(path, "before")
    with pytest.raises((ValueError, KeyboardInterrupt, Refused)), whole(path) as draft:
        draft.write_text("half of i")
        raise fault
    assert path.read_text() == "before"
    assert names(tmp_path) == ["chart.csv"]


def test_what_is_not_finished_is_taken_away_at_a_stop(tmp_path: Path) -> None:
    with whole(tmp_path / "chart.csv") as draft, scratch_folder() as folder:
        draft.write_text("half of i")
        (folder / "part.step").write_text("half of i")
        clear_away()
        assert names(tmp_path) == []
        assert not folder.exists()
        draft.write_text("whole")
        folder.mkdir()
    assert names(tmp_path) == ["chart.csv"]


def test_of_several_files_all_are_written_or_none(tmp_path: Path) -> None:
    (tmp_path / "b").mkdir()
    with pytest.raises(Refused, match="is a folder"):
        write_all({tmp_path / "a": b"1", tmp_path / "b": b"2"})
    assert names(tmp_path) == ["b"]
    write_all({tmp_path / "a": b"1", tmp_path / "c": b"2"})
    assert names(tmp_path) == ["a", "b", "c"]


def test_a_link_is_written_over_and_what_it_points_to_is_not(tmp_path: Path) -> None:
    kept, link = tmp_path / "kept", tmp_path / "link"
    kept.write_text("kept")
    link.symlink_to(kept)
    write_text(link, "new")
    assert (kept.read_text(), link.read_text(), link.is_symlink()) == ("kept", "new", False)


def test_who_may_read_a_file_stays_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "shop.toml"
    write_text(path, "before")
    path.chmod(0o664)
    write_text(path, "after")
    assert path.stat().st_mode & 0o777 == 0o664


@pytest.mark.parametrize(
    ("name", "problem"), [("none/a.png", "no folder"), ("shut/a.png", "may not be written")]
)
def test_a_place_that_takes_no_file_is_refused_before_any_work(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, problem: str
) -> None:
    (tmp_path / "shut").mkdir()
    # The administrator may write anywhere, and tests may be run as one.
    monkeypatch.setattr(os, "access", lambda path, _: Path(path).name != "shut")
    with pytest.raises(Refused, match=problem):
        check_place(tmp_path / name)


def test_nothing_is_written_but_by_way_of_these() -> None:
    """A file of the package that writes by itself would leave half of what it writes at Ctrl-C."""
    package = Path(__file__).parents[2] / "fitcheck"
    found = {
        f"{file.relative_to(package)}: {call[1]}"
        for file in package.rglob("*.py")
        for call in WRITES.finditer(EXAMPLE.sub("", file.read_text(encoding="utf-8")))
    }
    assert found == {
        "files/written.py: write_bytes",
        "files/written.py: replace",
        "draw/paint.py: savefig",  # into a draft
        "sheet/pdf.py: save",  # into memory
        "draw/space.py: savez",  # into memory
        "questions/room/draw_dxf.py: saveas",  # into a draft
        "files/meshes.py: write_bytes",  # into a folder of its own that goes away
        "questions/chart/command_store.py: mkdir",
        "sheet/files.py: mkdir",
        "cli/demo.py: mkdir",
    }


# A shop command that is stopped in the midst of writing: its file is begun, then Ctrl-C comes.
STOPPED = """
import signal, sys
from pathlib import Path
from fitcheck.cli import main
from fitcheck.files.written import whole

# A shell starts what it runs in the background deaf to Ctrl-C, and children inherit that.
signal.signal(signal.SIGINT, signal.default_int_handler)

@main.app.command("slow")
def slow(path: Path):
    with whole(path) as draft:
        draft.write_text("half of i")
        print("begun", flush=True)
        signal.pause()

sys.exit(main.run(["slow", sys.argv[1]]))
"""


# A shop that takes a chart some seconds, with all cores at work.
BAY = """
[liquids.bath]
specific_gravity = 1.0
[tanks.t]
inside = ["2000 mm", "700 mm", "900 mm"]
liquid = "bath"
""" + "".join(
    f"""[parts.p{k}]
shape = "hat"
size = ["{1500 + 10 * k} mm", "300 mm", "200 mm"]
wall = "3 mm"
metal = "steel"
"""
    for k in range(5)
)
CHART = """
import signal, sys
signal.signal(signal.SIGINT, signal.default_int_handler)
from fitcheck.__main__ import start
sys.exit(start())
"""
# The same, telling when the parts are asked about: the other processes are there by then.
CHART_THAT_TELLS = (
    """
from fitcheck.questions.chart import ask
answered = ask.chart
def chart(*about, **more):
    print("begun", flush=True)
    return answered(*about, **more)
ask.chart = chart
"""
    + CHART
)


def charting(folder: Path, table: str, program: str = CHART) -> subprocess.Popen[str]:
    """Start a chart in processes of its own, with a cache in the folder."""
    (folder / "bay.toml").write_text(BAY)
    words = [sys.executable, "-c", program, "chart", "bay.toml", "--csv", table]
    return subprocess.Popen(
        words, cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, start_new_session=True,
        env=os.environ | {"XDG_CACHE_HOME": str(folder / "cache")},
    )  # fmt: skip


def test_ctrl_c_ends_a_command_with_all_its_processes_in_one_line(tmp_path: Path) -> None:
    """A terminal tells Ctrl-C to all of them at once, as here the whole session."""
    child = charting(tmp_path, "chart.csv", CHART_THAT_TELLS)
    assert child.stdout is not None
    assert child.stdout.readline() == "begun\n"
    os.killpg(child.pid, signal.SIGINT)
    _, said = child.communicate(timeout=NEVER_ENDS_S)
    assert (child.returncode, said) == (130, "stopped before there was an answer\n")
    assert [name for name in names(tmp_path) if name not in {"bay.toml", "cache"}] == []


KEEPING = """
import sys
from pathlib import Path
from fitcheck.questions.chart.command_store import AnswerStore

store, mine = AnswerStore(Path(sys.argv[1])), [sys.argv[2]] * 20_000
for _ in range(150):
    store.put("key", mine)
    found = store.get("key")
    assert found is not None and len(set(found)) == 1 and len(found) == 20_000
"""


def test_two_processes_at_once_do_not_spoil_what_is_kept(tmp_path: Path) -> None:
    both = [subprocess.Popen([sys.executable, "-c", KEEPING, tmp_path / "kept", word]) for word in "ab"]
    assert [child.wait(timeout=NEVER_ENDS_S) for child in both] == [0, 0]
    assert names(tmp_path / "kept") == ["key.json"]


def test_ctrl_c_in_the_midst_of_writing_leaves_nothing_behind(tmp_path: Path) -> None:
    path = tmp_path / "sheet.pdf"
    path.write_text("before")
    child = subprocess.Popen(
        [sys.executable, "-c", STOPPED, path], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert child.stdout is not None
    assert child.stdout.readline() == "begun\n"
    child.send_signal(signal.SIGINT)
    _, said = child.communicate(timeout=NEVER_ENDS_S)
    assert (child.returncode, said) == (130, "stopped before there was an answer\n")
    assert (names(tmp_path), path.read_text()) == (["sheet.pdf"], "before")
