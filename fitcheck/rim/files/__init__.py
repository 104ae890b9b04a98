"""Reading shop files and meshes; writing answers."""
