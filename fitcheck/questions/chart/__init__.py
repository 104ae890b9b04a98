"""Which part goes in which tank."""
