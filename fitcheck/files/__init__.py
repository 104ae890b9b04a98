"""Shop files, meshes and readings read in; files written whole or not at all."""
