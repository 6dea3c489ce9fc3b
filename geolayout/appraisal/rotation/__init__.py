"""Rotation: what grew where from year to year, and what that brings."""
