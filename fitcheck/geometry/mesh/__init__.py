"""Closed meshes: components, repair, measures and distances."""
