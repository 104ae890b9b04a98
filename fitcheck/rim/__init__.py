"""Where fitcheck meets files, pictures and people."""
