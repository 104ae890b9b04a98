"""What a part weighs dry, under the liquid, and lifted out of it."""
