"""Kept answers are the ones that would be found, and none outlives what it was the answer to."""

from __future__ import annotations

import json
import socket
import threading
from dataclasses import replace
from pathlib import Path

import pytest
from strategies.solids import box, part_of, tank_of

from fitcheck.questions.chart.answer import ChartRow
from fitcheck.questions.chart.ask import chart
from fitcheck.questions.chart.command_store import (
    AnswerStore,
    content,
    kept_row,
    key_of_file,
    keys_of,
    row_from,
    user_folder,
)
from fitcheck.things.liquid import Liquid
from fitcheck.things.part import Attitude
from fitcheck.things.shop import Shop
from fitcheck.things.tank import Rules

TEXT = """
[liquids.water]
specific_gravity = 1.0
[tanks.T]
inside = ["1000 mm", "500 mm", "600 mm"]
liquid = "water"
[parts.P]
shape = "block"
size = ["300 mm", "200 mm", "100 mm"]
mass = "1 kg"
[parts.Q]
shape = "block"
size = ["1300 mm", "200 mm", "100 mm"]
mass = "1 kg"
"""


def yard() -> Shop:
    part, tank = part_of(box((300.0, 200.0, 100.0)), name="P"), tank_of(box((1000.0, 500.0, 600.0)))
    big = part_of(box((1300.0, 200.0, 100.0)), name="Q")
    return Shop("yard", parts={"P": part, "Q": big}, tanks={"tank": tank})


def test_a_row_comes_back_to_the_last_digit(tmp_path: Path) -> None:
    shop, store = yard(), AnswerStore(tmp_path / "new" / "folder")
    rows, keys = chart(shop), keys_of(shop)
    for row in rows:
        store.put(keys[row.part, row.tank], kept_row(row))
    assert tuple(store.rows(keys).values()) == rows.rows
    assert not list(store.folder.glob(".*"))  # nothing half-written is left


def test_known_rows_are_taken_and_others_found() -> None:
    shop, calls = yard(), []
    said = ChartRow("P", "tank", "not found", 1.0, 2.0, None, None)
    rows = chart(shop, lambda: calls.append(1), known={("P", "tank"): said})
    assert rows[0] == said
    assert rows[1] == chart(shop)[1]
    assert len(calls) == len(shop.parts)


def test_every_change_of_part_or_tank_is_another_key() -> None:
    shop = yard()
    part, tank = shop.parts["P"], shop.tanks["tank"]
    others = [
        replace(part, tape_mm=1.0),
        replace(part, mass_kg=1.1),
        replace(part, air_at_most_l=0.0),
        replace(part, chord_mm=0.1),
        replace(part, attitude=Attitude(tilt_rad=1.0)),
        part_of(box((300.0, 200.0, 100.0 + 1e-9)), name="P"),
        replace(tank, rules=Rules(cover_mm=1.0)),
        replace(tank, liquid=Liquid("water", 1.01)),
        tank_of(box((1000.0, 500.0, 600.0)), post=box((10.0, 10.0, 10.0))),
    ]
    keys = [content(thing) for thing in (part, tank, *others)]
    assert len(set(keys)) == len(keys)
    assert content(part_of(box((300.0, 200.0, 100.0)), name="P")) == content(part)


def test_what_cannot_be_read_is_as_if_it_were_not_there(tmp_path: Path) -> None:
    store = AnswerStore(tmp_path)
    assert store.get("none") is None
    for bad in ("", "{", "[1]", '{"part": "P"}', "\x00"):
        (tmp_path / "k.json").write_text(bad)
        assert row_from(store.get("k"), ("P", "T")) is None
    other = kept_row(ChartRow("Q", "T", "fits", 1.0, 1.0, 0.0, 10.0))
    store.put("k", other)
    assert row_from(store.get("k"), ("P", "T")) is None
    # A folder that cannot be made keeps nothing and stops nothing.
    (tmp_path / "file").write_text("")
    AnswerStore(tmp_path / "file").put("k", other)


def test_a_file_and_its_meshes_are_the_key(tmp_path: Path) -> None:
    shop = tmp_path / "shop.toml"
    shop.write_text('[parts.P]\nmesh = "a.stl"\n')
    assert key_of_file(shop) is None
    (tmp_path / "a.stl").write_bytes(b"one")
    first = key_of_file(shop)
    assert first is not None
    assert key_of_file(shop) == first
    (tmp_path / "a.stl").write_bytes(b"two")
    assert key_of_file(shop) not in (None, first)
    shop.write_text('[parts.P]\nmesh = "/dev/zero"\n')
    assert key_of_file(shop) is None
    assert key_of_file(tmp_path / "none.toml") is None


def test_the_command_keeps_answers_and_tells_a_changed_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from fitcheck.cli.main import run

    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    monkeypatch.setattr("os.sched_getaffinity", lambda _: {0}, raising=False)
    shop = tmp_path / "shop.toml"
    shop.write_text(TEXT)

    def told(*more: str) -> list[dict[str, object]]:
        assert run(["chart", str(shop), "--json", *more]) == 0
        return list(json.loads(capsys.readouterr().out))

    plain = told("--no-cache")
    assert not (tmp_path / "cache").exists()
    assert told() == plain
    files = sorted(user_folder().glob("*.json"))
    assert len(files) == 3  # two rows, and the whole file
    with monkeypatch.context() as patch:
        patch.setattr("fitcheck.questions.chart.ask.chart", None)  # asking anything would fail
        assert told() == plain
    shop.write_text(TEXT.replace("1300 mm", "700 mm"))
    changed = told()
    assert changed[0] == plain[0]
    assert changed[1]["verdict"] == "fits"
    assert len(list(user_folder().glob("*.json"))) == 5  # one row and the file again


def test_a_scheduler_that_does_not_answer(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from fitcheck.cli.main import run

    shop = tmp_path / "shop.toml"
    shop.write_text(TEXT)
    with socket.create_server(("127.0.0.1", 0)) as other:
        # Nothing listens on the port for discarding (RFC 863) here, and at the other a web server answers;
        # without Dask it is told to install it.
        threading.Thread(target=_answer_as_web_server, args=(other,), daemon=True).start()
        for port in (9, other.getsockname()[1]):
            address = f"tcp://127.0.0.1:{port}"
            assert run(["chart", str(shop), "--no-cache", "--scheduler", address]) == 2
            said = capsys.readouterr().err.strip().splitlines()
            assert len(said) == 1
            assert said[0].startswith("--scheduler:")


def _answer_as_web_server(listening: socket.socket) -> None:
    """Answer every connection until the socket is shut."""
    while True:
        try:
            connection, _ = listening.accept()
        except OSError:
            return
        with connection:
            connection.sendall(b"HTTP/1.1 400 Bad Request\r\n\r\n")
