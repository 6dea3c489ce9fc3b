"""Passes: where machines drive, across the rows too, and in spirals."""
