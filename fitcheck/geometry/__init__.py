"""Pure computation over closed meshes."""
