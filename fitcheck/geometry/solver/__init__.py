"""Questions to a general constraint solver."""
