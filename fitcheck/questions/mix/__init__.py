"""What a bath takes to make up, loses, and is rinsed off with."""
