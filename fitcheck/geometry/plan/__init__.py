"""Shapes in plan: outlines, columns, aisles and nesting."""
