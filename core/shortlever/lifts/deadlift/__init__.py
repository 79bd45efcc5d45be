"""The deadlift, conventional and sumo."""
