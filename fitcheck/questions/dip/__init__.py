"""Whether the part goes under in one pass, hung how, on how much liquid."""
