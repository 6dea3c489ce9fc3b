"""Shapes: cutting, overlays, necks and hairs, many lines at once."""
