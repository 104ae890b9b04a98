"""Levels, pockets of air and liquid, and the wetted part of a surface."""
