"""What is dangerous about racks, and what was not checked for want of figures."""

from __future__ import annotations

from fitcheck.questions.store.answer import StoreAnswer
from fitcheck.things.caution import Caution
from fitcheck.things.rack import BayRack, Rack, RailRack

CAPACITY = Caution("rack capacity")


def cautions_of(answer: StoreAnswer) -> tuple[Caution, ...]:
    """Return the cautions of an answer and its rack."""
    rack: Rack = answer.rack
    return (*(_of_rails(rack) if isinstance(rack, RailRack) else _of_bays(rack)), CAPACITY)


def _of_rails(rack: RailRack) -> list[Caution]:
    found = []
    if rack.apart_mm is None and len(rack.rails) > 1:
        found.append(Caution("rails apart"))
    if rack.load_kg is None:
        found.append(Caution("hook load"))
    return [*found, Caution("rail hooks slide"), Caution("drip")]


def _of_bays(rack: BayRack) -> list[Caution]:
    found = []
    if any(bay.supports_mm is not None for bay in rack.bays):
        found.append(Caution.of("sag", one_in=round(1.0 / rack.sag_share)))
    return [*found, Caution("pads")]
