"""Files damaged in the ways that files are, by seed: whatever comes of it, a user gets an answer or one clear line."""

from __future__ import annotations

import contextlib
import io
import json
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from fitcheck.cli import main
from fitcheck.files.meshes import read_mesh
from fitcheck.files.shop_file import read_shop, shop_from
from fitcheck.questions.dip.ask import dip
from fitcheck.questions.register import to_dict
from fitcheck.words import units
from fitcheck.words.errors import InputFault, Refused

ROOT = Path(__file__).resolve().parents[2]
MESHES, YARD = ROOT / "meshes", ROOT / "examples" / "yard" / "yard.toml"
# Quick to read: a STEP file starts a process, and has seeds of its own.
KINDS = ("stl", "obj", "ply", "3mf", "glb")
NUMBERS = (
    b"nan",
    b"-inf",
    b"1e308",
    b"-1e308",
    b"1e-320",
    b"-1",
    b"0",
    b"9" * 400,
    b"0x10",
    b"1e5",
    b"4294967295",
)
VALUES: tuple[Any, ...] = (
    None, True, -1, 0, 1e308, -1e308, float("nan"), float("inf"), 10**400, "", "fits", [], {}, [[]], [None], {"a": 1}, [1e9, 2, 3],
)  # fmt: skip
ODD_TEXT = "0123456789 ./'\"-+eE½ftinmgalkqdegNaNif²\t\0°×١"


def damaged(raw: bytes, rng: np.random.Generator) -> bytes:
    """Return the bytes cut, with some of them changed, put in twice or left out, or with another number."""
    for _ in range(int(rng.integers(1, 3))):
        at, wide = int(rng.integers(0, len(raw) + 1)), int(rng.integers(1, 40))
        match int(rng.integers(9)):
            case 0:
                raw = raw[:at]
            case 1:
                raw = raw[:at] + rng.bytes(wide) + raw[at + wide :]
            case 2:
                raw = raw[:at] + raw[at + wide :]
            case 3:
                raw = raw[:at] + raw[max(at - 30 * wide, 0) : at] + raw[at:]
            case 4:
                lines = raw.split(b"\n")
                k, j = rng.integers(0, len(lines), 2).tolist()
                lines[k], lines[j] = lines[j], lines[k]
                raw = b"\n".join(lines)
            case _:
                found = list(re.finditer(rb"-?\d+(\.\d+)?", raw[at : at + 4000]))
                if found:
                    start, end = found[int(rng.integers(len(found)))].span()
                    raw = raw[: at + start] + NUMBERS[int(rng.integers(len(NUMBERS)))] + raw[at + end :]
    return raw


def mesh(rng: np.random.Generator, folder: Path, kind: str = "") -> str:
    """Read a damaged mesh file."""
    kind = kind or str(rng.choice(KINDS))
    raw = (MESHES / f"bracket.{kind}").read_bytes()
    path = folder / f"part.{kind}"
    path.write_bytes(damaged(raw, rng))
    try:
        read_mesh(
            path, "mm" if kind in {"stl", "obj", "ply"} else None, float(rng.choice([0.0, 1.0])) or None
        )
    except Refused as fault:
        assert path.name in fault.problem
        assert fault.cure
        return f"{kind} refused"
    return f"{kind} read"


def step(rng: np.random.Generator, folder: Path) -> str:
    """Read a damaged STEP file, in its process."""
    return mesh(rng, folder, "step")


def shop(rng: np.random.Generator, folder: Path) -> str:
    """Read a damaged shop file; the meshes beside it are whole."""
    text = damaged(YARD.read_bytes(), rng).decode("utf-8", errors="replace")
    try:
        shop_from(text, YARD)
    except InputFault as fault:
        assert fault.faults
        assert all("\n" not in str(each) and str(each).startswith("yard.toml") for each in fault.faults)
        return "refused"
    return "read"


def quantity(rng: np.random.Generator, folder: Path) -> str:
    """Read a text as each kind of quantity."""
    text = "".join(rng.choice(list(ODD_TEXT), int(rng.integers(0, 14))))
    if rng.random() < 0.5:
        text = damaged(b"24 ft 4 1/2 in", rng).decode(errors="replace")
    told = "refused"
    for read in (units.read_length, units.read_volume, units.read_mass, units.read_angle, units.read_density):
        with contextlib.suppress(Refused):
            assert np.isfinite(read(text))
            told = "read"
    return told


@cache
def answers() -> tuple[str, ...]:
    """Return true answers as JSON: a yes, a no, and the tapes' word."""
    known = read_shop(YARD)
    asked = (("P01", "T1"), ("P02", "T1"), ("P23", "T5"))
    return tuple(json.dumps(to_dict(dip(known.parts[p], known.tanks[t], with_cures=False))) for p, t in asked)


def answer(rng: np.random.Generator, folder: Path) -> str:
    """Look at an answer of which a value, or a stretch of letters, is another."""
    text = answers()[int(rng.integers(len(answers())))]
    if rng.random() < 0.7:
        data = json.loads(text)
        _change(data, rng)
        text = json.dumps(data)
    else:
        text = damaged(text.encode(), rng).decode(errors="replace")
    path = folder / "answer.json"
    path.write_text(text, encoding="utf-8")
    said, faults = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(faults):
        code = main.run(["prove", str(YARD), str(path)])
    assert code in {0, 1, 2}, faults.getvalue()
    assert len(faults.getvalue().splitlines()) == (1 if code == 2 else 0)
    return ("holds", "does not hold", "refused")[code]


def _change(data: Any, rng: np.random.Generator) -> None:
    """Put another value somewhere into nested tables and lists."""
    while True:
        keys = list(data) if isinstance(data, dict) else list(range(len(data)))
        key = keys[int(rng.integers(len(keys)))]
        if isinstance(data[key], dict | list) and data[key] and rng.random() < 0.8:
            data = data[key]
            continue
        if isinstance(data, dict) and rng.random() < 0.2:
            del data[key]
        else:
            data[key] = VALUES[int(rng.integers(len(VALUES)))]
        return


WAYS: dict[str, Callable[[np.random.Generator, Path], str]] = {
    "mesh": mesh,
    "shop": shop,
    "quantity": quantity,
    "answer": answer,
    "step": step,
}
