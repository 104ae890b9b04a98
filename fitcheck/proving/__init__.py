"""Shared pieces of provers: nothing here searches, or reaches a question."""
