"""Does the part go under, tilted how, on how much liquid? Answers with a witness or a proof."""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from fitcheck.questions.arrange import arrange
    from fitcheck.questions.as_built import as_built
    from fitcheck.questions.block import block
    from fitcheck.questions.carry import carry
    from fitcheck.questions.chart import ChartRow, chart
    from fitcheck.questions.day import day
    from fitcheck.questions.dip import dip
    from fitcheck.questions.fill import FillRow, fill
    from fitcheck.questions.hang import hang
    from fitcheck.questions.ladder import ladder
    from fitcheck.questions.lot import lot
    from fitcheck.questions.measure import Measured, measure
    from fitcheck.questions.mix import mix
    from fitcheck.questions.passes import passes
    from fitcheck.questions.pocket import held_at, pocket
    from fitcheck.questions.prove import Recheck, recheck
    from fitcheck.questions.room import room
    from fitcheck.questions.store import store
    from fitcheck.questions.tank_for import tank_for
    from fitcheck.rim.files.shop_file import read_shop
    from fitcheck.things.answers import Answer, DoesNotFit, Fits, MeasureAgain, NotFound
    from fitcheck.things.as_built import AsBuilt, Reading
    from fitcheck.things.block_design import BlockAnswer
    from fitcheck.things.carrying import CarryAnswer
    from fitcheck.things.hanging import HangAnswer, Leg
    from fitcheck.things.layout import RoomAnswer
    from fitcheck.things.lots import LadderAnswer, Lot, LotAnswer
    from fitcheck.things.mixing import MixAnswer
    from fitcheck.things.part import Part
    from fitcheck.things.passes import PassAnswer
    from fitcheck.things.pockets import Held, Pocket, PocketAnswer
    from fitcheck.things.pose import Angles, Pose
    from fitcheck.things.rack import Rack
    from fitcheck.things.room import Room
    from fitcheck.things.shop import Shop
    from fitcheck.things.solid import Solid
    from fitcheck.things.stored import StoreAnswer
    from fitcheck.things.tank import Rules, Tank

# Where each public name stands; it is loaded when it is first asked for, so that `fitcheck --help` is quick.
_PLACES = {
    "Angles": "things.pose",
    "Answer": "things.answers",
    "AsBuilt": "things.as_built",
    "BlockAnswer": "things.block_design",
    "CarryAnswer": "things.carrying",
    "ChartRow": "questions.chart",
    "DoesNotFit": "things.answers",
    "FillRow": "questions.fill",
    "Fits": "things.answers",
    "HangAnswer": "things.hanging",
    "Held": "things.pockets",
    "LadderAnswer": "things.lots",
    "Leg": "things.hanging",
    "Lot": "things.lots",
    "LotAnswer": "things.lots",
    "MeasureAgain": "things.answers",
    "Measured": "questions.measure",
    "MixAnswer": "things.mixing",
    "NotFound": "things.answers",
    "Part": "things.part",
    "PassAnswer": "things.passes",
    "Pocket": "things.pockets",
    "PocketAnswer": "things.pockets",
    "Pose": "things.pose",
    "Reading": "things.as_built",
    "Rack": "things.rack",
    "Recheck": "questions.prove",
    "Room": "things.room",
    "RoomAnswer": "things.layout",
    "Rules": "things.tank",
    "Shop": "things.shop",
    "Solid": "things.solid",
    "StoreAnswer": "things.stored",
    "Tank": "things.tank",
    "as_built": "questions.as_built",
    "arrange": "questions.arrange",
    "block": "questions.block",
    "carry": "questions.carry",
    "chart": "questions.chart",
    "day": "questions.day",
    "dip": "questions.dip",
    "fill": "questions.fill",
    "hang": "questions.hang",
    "held_at": "questions.pocket",
    "ladder": "questions.ladder",
    "lot": "questions.lot",
    "measure": "questions.measure",
    "mix": "questions.mix",
    "passes": "questions.passes",
    "pocket": "questions.pocket",
    "read_shop": "rim.files.shop_file",
    "recheck": "questions.prove",
    "tank_for": "questions.tank_for",
    "room": "questions.room",
    "store": "questions.store",
}

__all__ = [
    "Angles",
    "Answer",
    "AsBuilt",
    "BlockAnswer",
    "CarryAnswer",
    "ChartRow",
    "DoesNotFit",
    "FillRow",
    "Fits",
    "HangAnswer",
    "Held",
    "LadderAnswer",
    "Leg",
    "Lot",
    "LotAnswer",
    "MeasureAgain",
    "Measured",
    "MixAnswer",
    "NotFound",
    "Part",
    "PassAnswer",
    "Pocket",
    "PocketAnswer",
    "Pose",
    "Rack",
    "Reading",
    "Recheck",
    "Room",
    "RoomAnswer",
    "Rules",
    "Shop",
    "Solid",
    "StoreAnswer",
    "Tank",
    "arrange",
    "as_built",
    "block",
    "carry",
    "chart",
    "day",
    "dip",
    "fill",
    "hang",
    "held_at",
    "ladder",
    "lot",
    "measure",
    "mix",
    "passes",
    "pocket",
    "read_shop",
    "recheck",
    "room",
    "store",
    "tank_for",
]


def __getattr__(name: str) -> object:
    """Load a public name (PEP 562)."""
    if name not in _PLACES:
        raise AttributeError(f"module 'fitcheck' has no attribute {name!r}")
    return getattr(import_module(f"fitcheck.{_PLACES[name]}"), name)
