"""Closed meshes: their pieces, repair, measures, and distances between them."""
