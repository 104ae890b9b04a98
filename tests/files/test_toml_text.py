"""A text that is not TOML is answered by its line and by what most likely has to stand there."""

from __future__ import annotations

import pytest

from fitcheck.files.toml_text import parsed
from fitcheck.words.errors import InputFault


@pytest.mark.parametrize(
    ("line", "cure"),
    [
        ("[parts.hatch frame]", '[parts."hatch frame"]'),
        ("[parts.Lukenöffnung] # of the boat", '[parts."Lukenöffnung"]'),
        ("[[tanks.long one.blocks]]", '[[tanks."long one".blocks]]'),
        ('side clearance = "1 in"', "as in side_clearance = ..."),
        ("wall = “2 in”", "straight quotes"),
        ("wall = 2 in", "put texts in quotes"),
        ('wall = "24\'-0""', "needs a backslash"),
        ('mesh = "sub\\part.stl"', "write / between folders"),
        ('metal "steel"', "write = between"),
        ("[shop]", "once"),
    ],
)
def test_the_cure_is_that_of_the_line(line: str, cure: str) -> None:
    with pytest.raises(InputFault) as told:
        parsed("shop.toml", f"[shop]\n{line}\n")
    (fault,) = told.value.faults
    assert fault.place == "shop.toml, line 2"
    assert cure in fault.cure


def test_a_table_written_twice_is_named_as_it_is_written() -> None:
    with pytest.raises(InputFault, match=r"Cannot declare \[tanks\.long\] twice"):
        parsed("shop.toml", "[tanks.long]\n[tanks.long]\n")


def test_line_ends_of_windows_do_and_old_ones_are_named() -> None:
    assert parsed("shop.toml", "a = 1\r\nb = 2\r\n") == {"a": 1, "b": 2}
    with pytest.raises(InputFault, match="line ends of Windows or Unix"):
        parsed("shop.toml", "a = 1\rb = 2\r")
