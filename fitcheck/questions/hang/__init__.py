"""How a part is slung, and whether the hook goes high enough."""
