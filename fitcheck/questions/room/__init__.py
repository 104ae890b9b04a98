"""Whether what stands in a room leaves doors, working places and aisles free."""
