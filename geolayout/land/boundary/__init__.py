"""Boundaries: drawn lines closed, shapes made sound, and every change to them said."""
