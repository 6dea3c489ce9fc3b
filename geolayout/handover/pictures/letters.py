"""Letters that hazards have on every map and drawing, and beside it."""

__all__ = ["HAZARD_LETTERS", "MOST_HAZARDS"]

HAZARD_LETTERS = "abcde"
"""In the order of the hazards, worst first."""

MOST_HAZARDS = len(HAZARD_LETTERS)
"""Hazards told at once, worst first: more are not read. The rest are counted. [-]"""
