"""The fitcheck command."""
