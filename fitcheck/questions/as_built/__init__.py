"""What size the tank really is."""
