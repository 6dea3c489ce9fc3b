"""Guides: straight, along a line, round and round, on the contour; what everything is cut by."""
