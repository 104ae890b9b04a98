"""One part in one tank: searches over poses, with things in the way, and the way in."""
