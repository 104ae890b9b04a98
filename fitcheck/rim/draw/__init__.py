"""Pictures, drawn like a shop drawing."""

from fitcheck.rim.draw.dip import draw, draw_dip, drawn
from fitcheck.rim.draw.pocket import draw_pocket
from fitcheck.rim.draw.space_photo import Photographer
from fitcheck.rim.draw.window import view_dip

__all__ = ["Photographer", "draw", "draw_dip", "draw_pocket", "drawn", "view_dip"]
