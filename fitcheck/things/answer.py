"""Base of every answer: its kind, its verdict, why, and the cautions that go with it."""

from __future__ import annotations

from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, Literal, NoReturn

from fitcheck.things.caution import Caution
from fitcheck.things.shop import Shop, Show

Verdict = Literal["fits", "does not fit", "measure again", "not found"]


@dataclass(frozen=True, slots=True, eq=False, repr=False, kw_only=True)
class Answer:
    """An answer to one question.

    kind: the question, by its command's name. verdict, reason: the answer in a word and why, of those that
    have one (`Figures` have none). cautions: what is dangerous to believe or to do, what matters first in
    front. asked: the things that it was asked about, as a shop, so that it can be told and drawn; None for
    an answer that was read without its shop file.
    """

    kind: ClassVar[str]
    _instead: ClassVar[str] = "it is one of four and not of two, use its verdict"
    cautions: tuple[Caution, ...] = ()
    asked: Shop | None = field(default=None, compare=False)

    if TYPE_CHECKING:  # fields of some answers and worked out by others

        @property
        def verdict(self) -> str | None:
            """Its verdict."""

        @property
        def reason(self) -> str:
            """Why."""

    def __bool__(self) -> NoReturn:
        """Refuse: there are four verdicts, not two."""
        raise TypeError(f"an answer to {self.kind} is no yes or no: {self._instead}")

    def __repr__(self) -> str:
        """Return the gist: what it is about and its verdict."""
        nouns = [getattr(self, noun, None) for noun in ("part", "tank", "route", "rack", "room")]
        names = [getattr(noun, "name", noun) for noun in nouns]  # a noun itself, or its name
        about = " in ".join(name for name in names if isinstance(name, str))
        words = ": ".join(each for each in (about, self.verdict) if each)
        return f"<{type(self).__name__}{' ' * bool(words)}{words}>"

    # Questions stand over things, so their register is reached by name (`questions/register.py`).

    def to_dict(self, show: Show | None = None) -> dict[str, Any]:
        """Return what `--json` prints; show: the unit of its sentences, that of the shop asked without."""
        told: dict[str, Any] = _register().to_dict(self, show)
        return told

    def text(self, shop: Shop | None = None) -> str:
        """Return the answer in the words of the shop, as the terminal prints it.

        Raises `Refused` where neither `shop` nor the answer knows what was asked about.
        """
        return str(_register().text(self, shop))

    def draw(self, path: Path | str, shop: Shop | None = None) -> tuple[str, ...]:
        """Draw the answer to `path` (.png, .svg or .pdf) and return notes on what could not be drawn.

        Raises `Refused` where it has no picture, for a kind of file that is unknown and a folder that is not
        there, and where neither `shop` nor the answer knows what was asked about.
        """
        notes: tuple[str, ...] = _register().draw(self, path, shop)
        return notes

    def _repr_html_(self) -> str | None:
        """Return the picture as SVG, for a notebook; None where there is none, which then shows the repr."""
        picture: str | None = _register().svg(self)
        return picture


@dataclass(frozen=True, slots=True, eq=False, repr=False, kw_only=True)
class Figures(Answer):
    """An answer that tells how much and how many, and is no yes or no."""

    _instead: ClassVar[str] = "it is figures, compare one of its numbers"

    @property
    def verdict(self) -> None:
        """None: there is none."""
        return

    @property
    def reason(self) -> str:
        """Empty: figures have none."""
        return ""


def _register() -> Any:
    return import_module("fitcheck.questions.register")
