"""Fit: which machine reaches which strip, where wheels run, which widths suit all."""
