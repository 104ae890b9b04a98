"""Whether a part can be carried through."""
