"""The lifts, a package each."""
