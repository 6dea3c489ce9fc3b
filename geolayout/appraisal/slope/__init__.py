"""Slope: grade along rows and passes, water and soil, cold air."""
