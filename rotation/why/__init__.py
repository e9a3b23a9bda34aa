"""The plan explains itself: what shuts a place on a day, why a stay is where it is, what would help."""
