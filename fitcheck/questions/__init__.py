"""A room for each question that the shop asks."""
