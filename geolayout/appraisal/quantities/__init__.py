"""Quantities: ground, headland, rows, plants, trees, passes, rounds and zones of a layout."""
