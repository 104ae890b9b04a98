"""Does the part go under, tilted how, on how much liquid? Answers with a witness or a proof."""

from fitcheck.questions.chart import ChartRow, chart
from fitcheck.questions.dip import dip
from fitcheck.questions.fill import FillRow, fill
from fitcheck.questions.measure import Measured, measure
from fitcheck.questions.prove import Recheck, recheck
from fitcheck.rim.files.shop_file import read_shop
from fitcheck.things.answers import Answer, DoesNotFit, Fits, MeasureAgain, NotFound
from fitcheck.things.part import Part
from fitcheck.things.pose import Angles, Pose
from fitcheck.things.shop import Shop
from fitcheck.things.solid import Solid
from fitcheck.things.tank import Rules, Tank

__all__ = [
    "Angles",
    "Answer",
    "ChartRow",
    "DoesNotFit",
    "FillRow",
    "Fits",
    "MeasureAgain",
    "Measured",
    "NotFound",
    "Part",
    "Pose",
    "Recheck",
    "Rules",
    "Shop",
    "Solid",
    "Tank",
    "chart",
    "dip",
    "fill",
    "measure",
    "read_shop",
    "recheck",
]
