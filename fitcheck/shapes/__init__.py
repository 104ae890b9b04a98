"""A builder for each parametric part: sizes in, a closed mesh out."""
