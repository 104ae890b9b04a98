"""What is in the shop file."""
