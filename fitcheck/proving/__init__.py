"""What provers share: nothing here searches, or reaches a question."""
