"""Which displacement block or dam saves most liquid."""
