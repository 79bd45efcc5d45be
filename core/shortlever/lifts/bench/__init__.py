"""The bench press: chest, pose, limits, path, measures and suggestion."""
