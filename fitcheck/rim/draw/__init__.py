"""Pictures, drawn like a shop drawing."""
