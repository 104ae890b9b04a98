"""What a part measures as JSON: the same when read back, and what was changed in it is refused by its key."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest
from oracles.forged import spoilt

import fitcheck as fc
from fitcheck.cli.main import run
from fitcheck.questions.measure import record
from fitcheck.questions.register import from_dict, to_dict
from fitcheck.words.errors import Refused

SHOP = fc.demo_shop()
NOTED = replace(SHOP.parts["P08"], notes=("as drawn",))


def told(answer: fc.Measured) -> dict[str, Any]:
    data: dict[str, Any] = json.loads(json.dumps(to_dict(answer, SHOP.show), allow_nan=False))
    return data


@pytest.mark.parametrize("name", SHOP.parts)
def test_an_answer_comes_back_as_it_was(name: str) -> None:
    answer = fc.measure(SHOP.parts[name])
    again = from_dict(told(answer), SHOP)
    assert told(again) == told(answer)
    assert again == answer


def test_the_keys_stand_in_their_order() -> None:
    data = told(fc.measure(NOTED))
    assert list(data) == [
        "kind", "part", "size_mm", "volume_l", "area_m2", "mass_kg", "closed", "sealed_l", "notes", "cautions",
    ]  # fmt: skip
    assert (data["kind"], data["notes"]) == ("measure", ["as drawn"])


def test_what_was_spoilt_is_refused_by_its_key() -> None:
    data = {key: value for key, value in told(fc.measure(NOTED)).items() if key not in {"kind", "cautions"}}
    tried = set()
    for key, changed in spoilt(data, ()):
        with pytest.raises(Refused, match=key):
            record.from_dict(changed, SHOP)
        tried.add(key)
    assert tried == set(data)
    for size in ([1.0, 2.0], [1.0, 2.0, float("nan")]):
        with pytest.raises(Refused, match="size_mm"):
            record.from_dict(data | {"size_mm": size}, SHOP)
    with pytest.raises(Refused, match="closed"):
        record.from_dict(data | {"closed": 1}, SHOP)


def test_an_answer_is_no_truth_value_and_its_repr_is_short() -> None:
    answer = fc.measure(NOTED)
    with pytest.raises(TypeError, match="measure"):
        bool(answer)
    assert repr(answer) == "<Measured P08>"
    assert answer._repr_html_() is None
    assert "P08: as drawn" in answer.text(SHOP)


def test_the_command_tells_a_list_of_answers(
    tmp_path_factory: pytest.TempPathFactory, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path_factory.mktemp("shop") / "shop.toml"
    path.write_text(
        '[parts.A]\nshape = "block"\nsize = ["30 mm", "20 mm", "10 mm"]\nmass = "1 kg"\n'
        '[parts.B]\nshape = "block"\nsize = ["60 mm", "20 mm", "10 mm"]\nmass = "2 kg"\n'
    )
    assert run(["measure", str(path), "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)
    assert [(row["kind"], row["part"], row["cautions"]) for row in rows] == [
        ("measure", "A", []),
        ("measure", "B", []),
    ]
