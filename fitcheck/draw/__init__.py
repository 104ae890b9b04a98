"""Drawing that pictures share: ink, marks, dimensions, views, the scene in space."""
