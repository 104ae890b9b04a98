"""Whether the parts hang on a rack, or lie in its bays."""
