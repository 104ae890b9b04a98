"""Levels, pockets of air and liquid, and what of a surface gets wet."""
