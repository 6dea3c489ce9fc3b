"""Letters that hazards have on every map and drawing, and beside it."""

__all__ = ["HAZARD_LETTERS"]

HAZARD_LETTERS = "abcde"
"""In the order of the hazards, worst first."""
