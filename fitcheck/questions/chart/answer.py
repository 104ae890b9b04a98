"""Every part in every tank: a row for each pair, and the chart of all of them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib import import_module
from typing import Any, ClassVar, overload

from fitcheck.things.answer import Answer, Verdict
from fitcheck.words.errors import Refused
from fitcheck.words.units import RAD_PER_DEGREE, Show

# The columns of a chart as a table.
COLUMNS = ("part", "tank", "verdict", "spare_mm", "spare_at_most_mm", "tilt_deg", "least_level_mm")
_BEST_FIRST: tuple[Verdict, ...] = ("fits", "measure again", "not found", "does not fit")


@dataclass(frozen=True, slots=True, repr=False)
class ChartRow(Answer):
    """A dip answer in short. tilt_rad and least_level_mm are None where no pose is advised."""

    kind: ClassVar[str] = "chart"
    part: str
    tank: str
    verdict: Verdict
    spare_mm: float
    spare_at_most_mm: float
    tilt_rad: float | None
    least_level_mm: float | None

    @property
    def reason(self) -> str:
        """Empty: a chart tells no reasons, `dip` does."""
        return ""


@dataclass(frozen=True, slots=True, repr=False)
class Chart(Answer, Sequence[ChartRow]):
    """Every part in every tank, part by part. It is a sequence of its rows.

    Its verdict is about the whole kit: of each part the best in any tank counts, and of those the worst. So
    it "fits" only where every part goes under in some tank, and it "does not fit" where a part is proven to
    go under in none. A chart without rows shows nothing: "not found".
    """

    kind: ClassVar[str] = "chart"
    rows: tuple[ChartRow, ...]

    @property
    def verdict(self) -> Verdict:
        """The worst that any part has in the tank that is best for it."""
        return max(self._best_of_parts().values(), key=_BEST_FIRST.index, default="not found")

    @property
    def reason(self) -> str:
        """Which parts make it so."""
        if not self.rows:
            return "no part was asked about in any tank"
        if self.verdict == "fits":
            return "every part goes under in some tank"
        parts = [part for part, best in self._best_of_parts().items() if best == self.verdict]
        return f'in no tank better than "{self.verdict}": {", ".join(parts)}'

    def _best_of_parts(self) -> dict[str, Verdict]:
        best: dict[str, Verdict] = {}
        for row in self.rows:
            so_far = best.get(row.part, row.verdict)
            best[row.part] = min(so_far, row.verdict, key=_BEST_FIRST.index)
        return best

    def __len__(self) -> int:
        return len(self.rows)

    def __iter__(self) -> Iterator[ChartRow]:
        return iter(self.rows)

    @overload
    def __getitem__(self, at: int) -> ChartRow: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[ChartRow, ...]: ...
    def __getitem__(self, at: int | slice) -> ChartRow | tuple[ChartRow, ...]:
        return self.rows[at]

    def to_dict(self, show: Show | None = None) -> Any:
        """Return what `--json` prints: the list of its rows, each as it is told alone."""
        return Answer.to_dict(self, show)

    def to_pandas(self) -> Any:
        """Return a pandas DataFrame of the rows: a column each of mm and degrees, and of words.

        What has no value in a row is NaN. Raises `Refused` where pandas is not installed.
        """
        try:
            pandas = import_module("pandas")
        except ImportError:
            raise Refused("pandas is not installed", "install it: pip install pandas") from None
        return pandas.DataFrame([_cells(row) for row in self.rows], columns=list(COLUMNS))


def _cells(row: ChartRow) -> tuple[object, ...]:
    """Return what stands in the columns of a row."""
    tilt_deg = None if row.tilt_rad is None else row.tilt_rad / RAD_PER_DEGREE
    spares = row.spare_mm, row.spare_at_most_mm
    return (row.part, row.tank, row.verdict, *spares, tilt_deg, row.least_level_mm)


def rows_of(answer: Chart | ChartRow) -> tuple[ChartRow, ...]:
    """Return the rows of a chart; of one row, itself."""
    return answer.rows if isinstance(answer, Chart) else (answer,)
