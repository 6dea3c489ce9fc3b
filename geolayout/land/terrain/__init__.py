"""Terrain: heights, slopes, water on its way down."""
