"""Headlands: edges of the land, widths along them, rounds and turns on them."""
