"""One file for each question that the shop asks."""
