"""A caution as a value: its kind and the numbers that belong to it; `say/` makes the sentence."""

from __future__ import annotations

from dataclasses import dataclass

from fitcheck.things.gist import Noun

Told = float | str
# The kind of a caution that was read back: its one value is its sentence.
AS_TOLD = "as told"


@dataclass(frozen=True, slots=True, repr=False)
class Caution(Noun):
    """What is dangerous about an answer, or easily believed wrongly.

    kind: which of the sentences of `say/` it is, as "floats". values: what that sentence needs, by name, each
    number in the unit that its name says. A caution that was read back from a file is of the kind "as told".
    """

    kind: str
    values: tuple[tuple[str, Told], ...] = ()

    @classmethod
    def of(cls, kind: str, **values: Told) -> Caution:
        """Return the caution of a kind, with what its sentence needs.

        Parameters
        ----------
        kind : str
            Which of the sentences of `say/` it is.
        **values : float or str
            What that sentence needs, by name.

        Returns
        -------
        Caution
            Raises nothing of its own: a kind that has no sentence is seen when it is said.

        Examples
        --------
        >>> import fitcheck as fc
        >>> fc.Caution.of("floats", part="P11", uplift_n=338.0).number("uplift_n")
        338.0
        """
        return cls(kind, tuple(values.items()))

    def _gist(self) -> str:
        told = ", ".join(f"{name} {value}" for name, value in self.values if value != "")
        return ": ".join(each for each in (self.kind, told) if each)

    def number(self, name: str) -> float:
        """Return one of its numbers; raises KeyError where there is none of that name."""
        return float(dict(self.values)[name])

    def word(self, name: str) -> str:
        """Return one of its words; raises KeyError where there is none of that name."""
        return str(dict(self.values)[name])


def each_once(*cautions: Caution) -> tuple[Caution, ...]:
    """Return cautions in their order, none of them twice."""
    return tuple(dict.fromkeys(cautions))
