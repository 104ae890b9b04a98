"""Frozen nouns of the shop, in millimetres. They know nothing of how anything is computed."""
