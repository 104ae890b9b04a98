"""How much liquid stands in a tank at which level."""
