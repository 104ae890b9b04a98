"""Convex bodies: decomposition, offsets, merging, and the concavities of a tank."""
