"""Which tank is to be built for a list of parts."""
