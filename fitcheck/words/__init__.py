"""Words of the trade: units as people write them, and how a fault is told."""
