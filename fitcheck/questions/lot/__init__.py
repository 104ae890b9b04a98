"""Which parts go in together."""
