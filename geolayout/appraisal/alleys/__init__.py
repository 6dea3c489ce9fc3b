"""Alleys: what fits them, how they look in a year, what trees do to the crop between."""
