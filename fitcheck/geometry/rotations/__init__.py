"""The certified search over rotations, and what it is made of."""
