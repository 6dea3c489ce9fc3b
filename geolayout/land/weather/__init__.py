"""Daily weather."""
