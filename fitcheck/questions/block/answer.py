"""Displacement blocks and dams as the shop would build them, and what they do in the bath."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from fitcheck.things.answer import Figures
from fitcheck.things.gist import Noun
from fitcheck.things.pose import Pose
from fitcheck.things.stock import Ballast, CutSheet, Filling, Panel, Piece


@dataclass(frozen=True, slots=True, repr=False)
class Bending(Noun):
    """Bending of a dam board at its foot or worst place.

    stress_mpa, sag_mm: the lowest strip, held at its two ends only. held_stress_mpa, held_sag_mm: the whole
    board held along its four edges, the top one by a stiff rail.
    """

    stress_mpa: float
    sag_mm: float
    held_stress_mpa: float
    held_sag_mm: float


@dataclass(frozen=True, slots=True, repr=False)
class Design(Noun):
    """One way to save liquid, of one kind: blocks, or a dam.

    poses: of each part in turn, as high as the level lets it hang. liquid_l: in the tank, part in; saves_l:
    against no blocks. uplift_n: net, all pieces empty and held under at the level. hold_down_n: what straps
    are to hold. ballast_kg: to stay down without them. lifts_at_mm: while filling, the level at which the
    first piece would float. thrust_n: sideways, on a dam. metacentre_mm: of the tippiest piece floating
    empty (below 0: it rolls over). panels: what to cut; sheets: how they are laid on stock sheets;
    sheets_at_least: by area alone. reason:
    why it stands where it does among the others.
    """

    kind: Literal["block", "dam"]
    pieces: tuple[Piece, ...]
    poses: tuple[Pose, ...]
    level_mm: float
    liquid_l: float
    saves_l: float
    empty_mass_kg: float
    panels: tuple[Panel, ...]
    sheets_at_least: int
    sheets: tuple[CutSheet, ...] = ()
    reason: str = ""
    uplift_n: float = 0.0
    hold_down_n: float = 0.0
    ballast_kg: float = 0.0
    thrust_n: float = 0.0
    lifts_at_mm: float | None = None
    metacentre_mm: float | None = None
    ballast: Ballast | None = None
    filling: tuple[Filling, ...] = ()
    bending: Bending | None = None

    @property
    def pose(self) -> Pose:
        """The pose of the first part."""
        return self.poses[0]


@dataclass(frozen=True, slots=True, repr=False)
class FloorSag(Noun):
    """A floor of one sheet over joists so far apart, each span by itself: its sag in the middle."""

    joists_mm: float
    sag_mm: float


@dataclass(frozen=True, slots=True, repr=False)
class TankLoad(Noun):
    """What the bath does to the tank at the level.

    thrust_n_per_m: on a wall, a metre of it. floor_pa: pressure on the floor.

    sheet_mm: the floor's thickness that the sags are told for.
    """

    level_mm: float
    thrust_n_per_m: float
    floor_pa: float
    sheet_mm: float
    floor_sags: tuple[FloorSag, ...]


@dataclass(frozen=True, slots=True, repr=False)
class BlockAnswer(Figures):
    """Designs, best first, for parts that go in one after another. without_l: liquid with no block.

    bound_l: more cannot be saved however anything is built that stands on the floor, with the parts hung in
    any of the ways_tried. saves_share: what of it the best design saves. price_per_l: of the liquid, where
    the shop has said, in its own money. unbuilt: why a block was not offered where there is room for one.
    """

    kind: ClassVar[str] = "block"

    tank: str
    parts: tuple[str, ...]
    without_l: float
    bound_l: float
    saves_share: float
    designs: tuple[Design, ...]
    load: TankLoad
    ways_tried: int = 1
    price_per_l: float | None = None
    unbuilt: tuple[str, ...] = ()
