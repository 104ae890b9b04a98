"""When each load is where."""
