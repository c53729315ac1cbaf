"""The hole: readings to a path, the bend of the hole per rod and inside a rod, limits."""
