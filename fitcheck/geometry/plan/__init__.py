"""Shapes seen from above: outlines, columns, aisles and nests."""
