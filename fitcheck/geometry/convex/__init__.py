"""Convex bodies: pieces of others, grown by a clearance, merged, and what juts into a tank."""
