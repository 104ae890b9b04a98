"""Pages for a browser: one part in one tank to turn about, and the live sheet."""
