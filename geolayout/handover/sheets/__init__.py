"""Sheets of paper that a person works from, as PDF."""
