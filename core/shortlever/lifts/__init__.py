"""The lifts, a package each, and the names by which what is kept, linked or saved says which one it is of."""

from __future__ import annotations

NAMES = {"bench": "bench press"}
"""By the name that is stored: in words."""

UNNAMED = "bench"
"""The lift of what names none: there was one only."""
