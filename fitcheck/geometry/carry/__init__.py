"""Ways through corridors and doors: the search for one, and the proof that there is none."""
