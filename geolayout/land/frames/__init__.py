"""Frames: the field's own metres, datums, map grids, norths."""
