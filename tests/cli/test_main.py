"""The command: what it prints where, with which exit code, and that no traceback ever reaches a user."""

from __future__ import annotations

import json
import math
import os
import pty
import re
import signal
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import get_args

import numpy as np
import pytest
from conftest import NEVER_ENDS_S
from hypothesis import given
from hypothesis import strategies as st

from fitcheck.cli import main
from fitcheck.cli.demo import write_demo
from fitcheck.cli.quantities import joined_quantities
from fitcheck.files.shop_file import read_shop
from fitcheck.questions.dip.answer import (
    Advice,
    Cure,
    DoesNotFit,
    Effort,
    Fits,
    LeastLevel,
    MeasureAgain,
    NotFound,
    Prefer,
    Spare,
)
from fitcheck.questions.dip.cautions import cautions_of
from fitcheck.questions.dip.command import PreferWord
from fitcheck.questions.dip.say import cure_line, dip_text, verdict_line
from fitcheck.questions.register import from_dict
from fitcheck.say.attitude_words import hanging
from fitcheck.say.cautions import sentences
from fitcheck.things.fill import Fill
from fitcheck.things.part import Part
from fitcheck.things.pockets import Held, Pocket
from fitcheck.things.pose import Angles, Pose, rotation_from
from fitcheck.things.proof import Proof
from fitcheck.things.shop import Shop
from fitcheck.words.errors import InputFault
from fitcheck.words.rounding import at_least, at_most, enough
from fitcheck.words.units import MM_PER_INCH, RAD_PER_DEGREE, read_length

Command = Callable[..., "subprocess.CompletedProcess[str]"]
Ask = Callable[..., tuple[int, str, str]]

BAY = """
[shop]
name = "test bay"
show = "ft-in"
[rules]
side_clearance = "1 in"
bottom_clearance = "2 in"
cover = "2 in"
freeboard = "4 in"
tape_part = "1/16 in"
tape_tank = "1/8 in"
[liquids.water]
specific_gravity = 1.0
[tanks.long]
inside = ["24 ft", "1 ft 4 in", "2 ft"]
liquid = "water"
rim_height = "2 ft 10 in"
[tanks.short]
inside = ["4 ft", "1 ft 4 in", "2 ft"]
liquid = "water"
[parts.rail]
shape = "block"
size = ["10 ft", "2 in", "1 in"]
metal = "aluminium"
[parts.mast]
shape = "block"
size = ["24 ft 4 in", "7 1/4 in", "4 1/8 in"]
metal = "aluminium"
[parts.saddle]
shape = "block"
size = ["8 ft", "14 in", "16 in"]
metal = "aluminium"
"""


@pytest.fixture
def bay(tmp_path: Path) -> Path:
    path = tmp_path / "bay.toml"
    path.write_text(BAY, encoding="utf-8")
    return path


@pytest.fixture
def ask(capsys: pytest.CaptureFixture[str]) -> Ask:
    """Run the command in this process: quicker, for what does not need one of its own."""

    def call(*words: str) -> tuple[int, str, str]:
        code = main.run(list(words))
        said = capsys.readouterr()
        return code, said.out, said.err

    return call


# What comes back, and with which exit code


@pytest.mark.parametrize(
    ("part", "verdict", "code"),
    # 10 ft in 24 ft; 24 ft 4 in in 24 ft less 2 in, where tilting gains 0.08 in at most; exactly the
    # 14 x 16 in that 1 ft 4 in less 2 in and 2 ft less 8 in leave, so that the tape decides
    [("rail", "fits", 0), ("mast", "does not fit", 1), ("saddle", "measure again", 3)],
)
def test_each_verdict_has_its_exit_code(
    bay: Path, fitcheck_command: Command, part: str, verdict: str, code: int
) -> None:
    done = fitcheck_command("dip", bay, part, "long", "--json")
    data = json.loads(done.stdout)
    assert (data["verdict"], done.returncode, done.stderr) == (verdict, code, "")
    assert (data["part"], data["tank"]) == (part, "long")
    assert from_dict(data, Shop("")).verdict == verdict
    text = fitcheck_command("dip", bay, part, "long")
    assert text.stdout.startswith(f"{part} in long: {verdict}")
    assert ("Cautions:" in text.stdout) == (verdict != "does not fit")
    assert text.returncode == code


def test_without_a_tank_every_tank_is_asked_best_first(bay: Path, ask: Ask) -> None:
    code, out, _ = ask("dip", str(bay), "rail", "--json")
    assert [(row["tank"], row["verdict"]) for row in json.loads(out)] == [
        ("long", "fits"),
        ("short", "does not fit"),
    ]
    assert code == 0
    _, text, _ = ask("dip", str(bay), "rail")
    assert text.index("short") < text.index("rail in long: fits")


def test_one_way_of_hanging_is_asked_about(bay: Path, ask: Ask) -> None:
    for tilt in (["--tilt", "-2 deg"], ["--tilt=-2deg"], ["--tilt", "-2", "deg"]):
        _, out, _ = ask("dip", str(bay), "rail", "long", *tilt, "--json")
        shown = json.loads(out)["pose"]
        assert shown["tilt_deg"] == pytest.approx(-2.0)
        # Angles left out are 0, but for rounding.
        assert (shown["roll_deg"], shown["swing_deg"]) == pytest.approx((0.0, 0.0), abs=1e-9)


def test_a_level_is_kept(bay: Path, ask: Ask) -> None:
    _, out, _ = ask("dip", str(bay), "rail", "long", "--level", "1 ft 4 in", "--json")
    assert json.loads(out)["fill"]["level_mm"] == pytest.approx(read_length("16 in"))


def test_fill_tells_a_level_a_volume_and_the_whole_stick(bay: Path, ask: Ask) -> None:
    at_16 = json.loads(ask("fill", str(bay), "long", "--level", "16", "in", "--json")[1])
    assert at_16["tank"] == "long"
    # 288 x 16 x 16 in3 at 231 in3 a gallon (NIST Handbook 44, Appendix C), 3.785411784 l
    litres = 288 * 16 * 16 / 231 * 3.785411784
    assert at_16["rows"][0]["liquid_l"] == pytest.approx(litres)
    back = json.loads(ask("fill", str(bay), "long", "--liquid", f"{litres} L", "--json")[1])
    assert back["rows"][0]["level_mm"] == pytest.approx(16 * MM_PER_INCH)
    stick = json.loads(ask("fill", str(bay), "long", "--json")[1])["rows"]
    assert len(stick) == 25
    assert stick[-1]["from_rim_mm"] == pytest.approx(0.0)
    assert "319.2 gal" in ask("fill", str(bay), "long", "--level", "16 in")[1]


def test_measure_and_chart_list_what_there_is(bay: Path, ask: Ask) -> None:
    rows = json.loads(ask("measure", str(bay), "--json")[1])
    assert [row["part"] for row in rows] == ["rail", "mast", "saddle"]
    assert rows[0]["volume_l"] == pytest.approx(120 * 2 * 1 * MM_PER_INCH**3 / 1e6)
    assert json.loads(ask("measure", str(bay), "mast", "--json")[1]) == [rows[1]]
    chart = json.loads(ask("chart", str(bay), "--json")[1])
    words = {(row["part"], row["tank"]): row["verdict"] for row in chart}
    assert len(words) == len(chart) == 6
    assert words["rail", "long"] == "fits"
    assert words["saddle", "long"] == "measure again"
    assert re.search(r"rail\s+fits, .*no, .* short", ask("chart", str(bay))[1])


def test_view_opens_a_window_and_tells_the_verdict(
    bay: Path, ask: Ask, monkeypatch: pytest.MonkeyPatch
) -> None:
    shown: list[str] = []
    monkeypatch.setattr(
        "fitcheck.questions.dip.draw_window.view_dip", lambda answer, *_: shown.append(answer.verdict)
    )
    code, out, _ = ask("view", str(bay), "rail", "long")
    # On its edge: (14 - 1) / 2 = 6 1/2 in at either side, or a sixteenth less where the search stops short
    assert (code, out) in [
        (0, f"rail in long: fits, with 6 {rest} in to spare\n") for rest in ("1/2", "7/16")
    ]
    assert ask("view", str(bay), "mast", "long")[0] == 1
    assert shown == ["fits", "does not fit"]


def test_view_without_a_screen_says_so(bay: Path, ask: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.platform", "linux")
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    code, out, err = ask("view", str(bay), "rail", "long")
    assert (code, out) == (2, "")
    assert "no screen" in err
    assert len(err.splitlines()) == 1


# What is wrong with what was given


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["dip", "BAY", "mats", "long"], 'bay.toml: there is no part "mats"; did you mean mast?'),
        (["dip", "BAY", "mast", "LONG"], 'there is no tank "LONG"; did you mean long? known are long, short'),
        (["measure", "BAY", "zzz"], 'there is no part "zzz"; known are rail, mast, saddle'),
        (["fill", "BAY", "long", "--level", "16"], '--level: 16 has no unit; write "16 in" or "16 mm"'),
        (
            ["fill", "BAY", "long", "--level", "1 in", "--liquid", "1 L"],
            "--level and --liquid: both are given",
        ),
        (["fill", "BAY", "long", "--level", "9 ft"], "over the rim"),
        (["dip", "BAY", "rail", "long", "--tilt", "steep"], "--tilt: "),
        (
            ["dip", "BAY", "rail", "long", "--picture", "rail.doc"],
            "--picture: rail.doc is not a kind of picture known here; end it in .png",
        ),
        (["dip", "BAY", "rail", "long", "--picture", "none/rail.png"], "there is no folder none"),
        (["dip", "BAY", "rail", "long", "--prefer", "least"], "least-liquid"),
        (["dip", "BAY"], "fitcheck dip: Missing argument 'PART'; see fitcheck dip --help"),
        (["dunk", "BAY"], "fitcheck: No such command 'dunk'"),
        (["dip", "none.toml", "rail"], "none.toml: there is no such file"),
        (["dip", ".", "rail"], "this is a folder"),
    ],
)
def test_each_fault_is_one_line_on_stderr(
    bay: Path, ask: Ask, monkeypatch: pytest.MonkeyPatch, words: list[str], said: str
) -> None:
    monkeypatch.chdir(bay.parent)
    code, out, err = ask(*(str(bay) if word == "BAY" else word for word in words))
    assert (code, out) == (2, "")
    assert said in err
    assert len(err.splitlines()) == 1
    assert "\033" not in err


def test_every_fault_is_told_at_once(bay: Path, ask: Ask) -> None:
    code, _, err = ask("dip", str(bay), "rial", "lang", "--json")
    assert code == 2
    assert len(err.splitlines()) == 2
    bay.write_text(BAY.replace('"10 ft"', '"10 cubits"').replace("metal =", "mettle ="), encoding="utf-8")
    _, _, err = ask("measure", str(bay))
    lines = err.splitlines()
    assert len(lines) >= 4
    assert any("cubits" in line for line in lines)
    assert any("metal" in line for line in lines)


def test_a_fault_of_its_own_is_one_line_too(monkeypatch: pytest.MonkeyPatch, capsys, bay: Path) -> None:
    def broken(*_: object) -> None:
        raise ZeroDivisionError("of all\nthings")

    monkeypatch.setattr("fitcheck.questions.measure.ask.measure", broken)
    monkeypatch.delenv("FITCHECK_TRACEBACK", raising=False)
    assert main.run(["measure", str(bay)]) == 70
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == (
        "fitcheck hit a fault of its own: ZeroDivisionError: of all things; "
        "please report it with the shop file\n"
    )
    monkeypatch.setenv("FITCHECK_TRACEBACK", "1")
    with pytest.raises(ZeroDivisionError):
        main.run(["measure", str(bay)])


def test_a_reader_that_goes_away_is_no_fault(bay: Path) -> None:
    command = f"{sys.executable} -m fitcheck fill {bay} long | head -n 1; echo ${{PIPESTATUS[0]}}"
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "0"
    assert done.stderr == ""


STUCK = """
import signal, sys
from fitcheck.cli import main

# A shell starts what it runs in the background deaf to Ctrl-C, and children inherit that.
signal.signal(signal.SIGINT, signal.default_int_handler)

@main.app.command("wait")
def wait():
    print("waiting", flush=True)
    signal.pause()

sys.exit(main.run(["wait"]))
"""


def test_ctrl_c_stops_in_one_line() -> None:
    child = subprocess.Popen(
        [sys.executable, "-c", STUCK], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert child.stdout is not None
    assert child.stdout.readline() == "waiting\n"
    child.send_signal(signal.SIGINT)
    _, said = child.communicate(timeout=NEVER_ENDS_S)
    assert (child.returncode, said) == (130, "stopped before there was an answer\n")


def test_faults_are_red_on_a_terminal(bay: Path) -> None:
    ours, theirs = pty.openpty()
    done = subprocess.run(
        [sys.executable, "-m", "fitcheck", "measure", str(bay), "zzz"],
        stdout=subprocess.DEVNULL, stderr=theirs, check=False,
    )  # fmt: skip
    os.close(theirs)
    said = os.read(ours, 4096)
    os.close(ours)
    assert done.returncode == 2
    assert said.startswith(b"\033[31m")


def test_help_and_version(fitcheck_command: Command) -> None:
    done = fitcheck_command()
    assert done.returncode == 0
    assert done.stdout == fitcheck_command("--help").stdout
    for name in ("dip", "measure", "fill", "chart", "demo", "view"):
        assert re.search(rf"^  {name} ", done.stdout, re.MULTILINE)
        assert fitcheck_command(name, "--help").returncode == 0
    assert re.fullmatch(r"fitcheck \d+\.\d+\.\d+\n", fitcheck_command("--version").stdout)


# The demo yard


def test_demo_writes_the_yard_and_answers(tmp_path: Path, fitcheck_command: Command) -> None:
    done = fitcheck_command("demo", tmp_path / "yard")
    assert done.returncode == 0
    assert done.stderr == ""
    assert "P01 in T1: fits" in done.stdout
    assert "P02 in T1: does not fit" in done.stdout
    assert "P23 in T5: measure again" in done.stdout
    assert read_shop(tmp_path / "yard" / "yard.toml").parts
    assert not list((tmp_path / "yard").glob(".*"))


def test_demo_overwrites_nothing(tmp_path: Path, fitcheck_command: Command) -> None:
    (tmp_path / "yard.toml").write_text("mine", encoding="utf-8")
    done = fitcheck_command("demo", tmp_path)
    assert done.returncode == 2
    assert "yard.toml: it is there already" in done.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["yard.toml"]
    assert (tmp_path / "yard.toml").read_text(encoding="utf-8") == "mine"
    with pytest.raises(InputFault):
        write_demo(tmp_path / "yard.toml")


def test_the_example_is_the_demo(repository: Path, tmp_path: Path) -> None:
    for written in write_demo(tmp_path / "yard"):
        assert written.read_bytes() == (repository / "examples" / "yard" / written.name).read_bytes()


# The words of an answer


def pose(tilt_deg: float = 0.0, roll_deg: float = 0.0, swing_deg: float = 0.0) -> Pose:
    angles = Angles(*(angle * RAD_PER_DEGREE for angle in (tilt_deg, roll_deg, swing_deg)))
    return Pose("tank", "part", rotation_from(angles), np.zeros(3))


@pytest.fixture
def rail(bay: Path) -> Part:
    return read_shop(bay).parts["rail"]


@pytest.mark.parametrize(
    ("turn", "words"),
    [
        ((0, 0, 0), "level, as drawn"),
        ((0.04, -0.04, 0.04), "level, as drawn"),
        # 10 ft x sin 30 deg = 5 ft
        ((30, 0, 0), "tilted 30 deg, its +x end up by 5 ft"),
        ((-30, 0, 0), "tilted 30 deg, its -x end up by 5 ft"),
        ((90, 0, 0), "stood on end, its +x end up"),
        ((0, 180, 0), "level end to end; rolled upside down"),
        ((0, -90, 0), "level end to end; rolled onto its edge, its -y side up"),
        ((0, 49.6, 0), "level end to end; rolled 49.6 deg about its length, its +y side up"),
        ((0, -130, 0), "level end to end; rolled 130 deg about its length, its -y side up, past its edge"),
        ((0, 0, 12), "level end to end; swung 12 deg counter-clockwise in plan, seen from above"),
        ((0, 0, -12), "level end to end; swung 12 deg clockwise in plan, seen from above"),
        ((0, 0, 180), "level end to end; turned end for end"),
        ((0, 0, 90), "level end to end; swung across the tank"),
    ],
)
def test_how_it_hangs_in_words(rail: Part, turn: tuple[float, float, float], words: str) -> None:
    assert hanging(pose(*turn), rail, "ft-in") == words


def test_the_side_said_to_be_up_is_up(rail: Part) -> None:
    """The words against the pose itself: of the two sides named, the one said to be up is the higher."""
    for roll in (-150, -90, -20, 20, 90, 150):
        turned = pose(roll_deg=roll)
        ends = turned.apply([[0.0, 1.0, 0.0], [0.0, -1.0, 0.0]])
        side = "+y" if ends[0, 2] > ends[1, 2] else "-y"
        assert f"its {side} side up" in hanging(turned, rail, "mm")
    for tilt in (-40, 40):
        turned = pose(tilt_deg=tilt)
        ends = turned.apply([[1.0, 0.0, 0.0], [-1.0, 0.0, 0.0]])
        end = "+x" if ends[0, 2] > ends[1, 2] else "-x"
        assert f"its {end} end up" in hanging(turned, rail, "mm")


FILL = Fill(400.0, 200.0, 200.0, 90.0, 390.0, 10.0, 1.5, 0.0)
ADVICE = Advice(pose(), 2.0, FILL, Held(()), -100.0, 10.0)
HEAD = {"part": "rail", "tank": "long", "reason": "", "effort": Effort(1, 0.0)}
FITS = Fits(
    **HEAD,
    spare=Spare(2.5, 2.6, 1.0, 4.0),
    advice=ADVICE,
    roomiest=pose(),
    least=LeastLevel(380.0, 379.0, pose()),
)
NO = DoesNotFit(
    **HEAD,
    spare=Spare(-73.0, -72.4, -75.0, -70.0),
    nearest=pose(),
    proof=Proof(np.zeros((1, 3)), np.ones((1, 3))),
    cures=(Cure("depth", 53.1),),
)
AGAIN = MeasureAgain(**HEAD, spare=Spare(0.5, 0.6, -1.9, 2.9), advice=ADVICE, deciding=())
NOT_FOUND = NotFound(
    **HEAD, spare=Spare(-1.0, math.inf, -2.0, math.inf), nearest=pose(), next_try="give it longer"
)


@pytest.mark.parametrize(
    ("answer", "line"),
    [
        # 2.5 mm is 0.098 in: a sixteenth, not an eighth
        (FITS, "rail in long: fits, with 1/16 in to spare"),
        (
            replace(FITS, spare=Spare(1.0, 1.0, 0.0, 2.0)),
            "rail in long: fits, with less than 1/16 in to spare",
        ),
        # 72.4 mm is 2.850 in
        (NO, "rail in long: does not fit, short by 2 13/16 in or more (proven)"),
        (
            AGAIN,
            "rail in long: measure again, by the sizes given it has less than 1/16 in to spare, "
            "and the tape may be out by 1/8 in",
        ),
        (NOT_FOUND, "rail in long: not found, neither a way to hang it nor a proof that there is none"),
    ],
)
def test_the_verdict_in_one_line(answer: Fits | DoesNotFit | MeasureAgain | NotFound, line: str) -> None:
    assert verdict_line(answer, "ft-in") == line


def test_the_whole_text_starts_with_the_verdict(rail: Part) -> None:
    text = dip_text(FITS, rail, "ft-in")
    assert text.splitlines()[0] == verdict_line(FITS, "ft-in")
    # 200 mm is 7.874 in down from the rim, 400 mm is 1 ft 3.748 in
    assert re.search(r"Fill line +7 7/8 in down from the rim, part in \(1 ft 3 3/4 in of liquid\)", text)
    assert max(map(len, text.splitlines())) <= 100


def test_cautions_name_their_sources(bay: Path, rail: Part) -> None:
    shop = read_shop(bay)
    cautions = " ".join(sentences(cautions_of(FITS, rail, shop.tanks["long"]), "ft-in"))
    for word in ("2 ft 10 in over the floor", "section 3480", "1910.28(b)(6)", "plain water", "safety sheet"):
        assert word in cautions
    unknown = " ".join(sentences(cautions_of(FITS, rail, shop.tanks["short"]), "ft-in"))
    assert "3480" not in unknown  # nobody has said how high its rim is
    assert "safety sheet" in unknown
    assert cautions_of(NO, rail, shop.tanks["long"]) == ()


def test_air_and_uplift_and_a_bathful_are_cautioned(bay: Path, rail: Part) -> None:
    tank = read_shop(bay).tanks["short"]
    quiet = " ".join(sentences(cautions_of(FITS, rail, tank), "mm"))
    for word in ("hydrogen", "floats:", "best-drain"):
        assert word not in quiet
    held = Held(
        (Pocket("air", 0.2, 0.0, 0.1, (0.0,) * 3, 0.0), Pocket("liquid", 30.0, 0.0, 1.0, (0.0,) * 3, 0.0))
    )
    advice = replace(ADVICE, held=held, uplift_n=50.0, wet_mass_kg=40.0)
    told = " ".join(sentences(cautions_of(replace(FITS, advice=advice), rail, tank), "mm"))
    for word in (
        "200 ml of air",
        "hydrogen",
        "50 N pushes it up",
        "1.5 times",
        "30 L of the bath",
        "best-drain",
    ):
        assert word in told


def test_a_no_lists_its_cures(rail: Part) -> None:
    text = dip_text(NO, rail, "ft-in")
    # 53.1 mm is 2.0906 in: rounded up, so that it cures
    assert "Any one of these would make it fit:\n  2 1/8 in deeper" in text


@pytest.mark.parametrize("what", ["length", "width", "depth", "freeboard", "cover", "side_clearance"])
def test_every_cure_has_its_words(what: str) -> None:
    assert cure_line(Cure(what, 25.4), "ft-in").startswith("1 in ")  # type: ignore[arg-type]
    assert cure_line(Cure(what, 25.41), "mm").startswith("25.5 mm ")  # type: ignore[arg-type]


@given(st.floats(-2e4, 2e4), st.sampled_from(["ft-in", "mm"]))
def test_rounding_keeps_what_is_said_true(mm: float, show: str) -> None:
    # Rounding of floats on the way through text and back is far under a thousandth of a millimetre.
    assert read_length(at_least(mm, show)) <= mm + 1e-3  # type: ignore[arg-type]
    assert read_length(at_most(mm, show)) >= mm - 1e-3  # type: ignore[arg-type]
    assert read_length(enough(mm, show)) >= mm - 1e-9  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        (["--tilt", "-30", "deg", "--json"], ["--tilt", "-30 deg", "--json"]),
        (["--tilt=30", "deg"], ["--tilt=30 deg"]),
        (["--level", "1", "ft", "4", "1/2", "in", "T1"], ["--level", "1 ft 4 1/2 in", "T1"]),
        (["--level", "16 in", "12"], ["--level", "16 in", "12"]),
        (["--level", "16", "12", "T1"], ["--level", "16", "12", "T1"]),
        (["--tilt", "30deg", "in"], ["--tilt", "30deg", "in"]),
        (["dip", "30", "deg"], ["dip", "30", "deg"]),
        (["--tilt"], ["--tilt"]),
        (["--for", "P01,", "P05", ",P08", "T1"], ["--for", "P01,P05,P08", "T1"]),
        (["--parts=P01,", "P05", "--json"], ["--parts=P01,P05", "--json"]),
        (["--for", "P01,", "--json"], ["--for", "P01,", "--json"]),
    ],
)
def test_quantities_may_be_typed_without_quotes(typed: list[str], meant: list[str]) -> None:
    assert joined_quantities(typed) == meant


def test_the_command_knows_every_preference() -> None:
    assert get_args(PreferWord) == get_args(Prefer)


def test_a_part_with_picks_is_told_its_hook(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A level beam of 100 x 4 x 4 in, picks 80 in apart, in a tank whose rim is 34 in up.

    Legs at 60 deg rise 40 tan 60 = 69.28 in: 34 + 2 (over the rim) + 4 + 69.28 = 109.28 in.
    """
    path = tmp_path / "bay.toml"
    path.write_text(
        BAY
        + """
[tanks.hung]
inside = ["24 ft", "1 ft 4 in", "2 ft"]
liquid = "water"
rim_height = "34 in"
hook_height = "10 ft"
[parts.beam]
shape = "block"
size = ["100 in", "4 in", "4 in"]
metal = "aluminium"
picks = [["10 in", "2 in", "4 in"], ["90 in", "2 in", "4 in"]]
""",
        encoding="utf-8",
    )
    assert main.run(["dip", str(path), "beam", "hung", "--json"]) == 0
    data = json.loads(capsys.readouterr().out)
    assert data["hook_mm"] / MM_PER_INCH == pytest.approx(40.0 + 40.0 * math.tan(math.pi / 3.0), abs=0.05)
    assert main.run(["dip", str(path), "beam", "hung"]) == 0
    assert "Slung by its picks the hook needs 9 ft 1" in capsys.readouterr().out
