"""In what order, with which blocks, on how much liquid."""
