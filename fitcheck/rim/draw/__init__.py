"""Pictures, drawn like a shop drawing."""

from fitcheck.rim.draw.dip import draw_dip
from fitcheck.rim.draw.window import view_dip

__all__ = ["draw_dip", "view_dip"]
