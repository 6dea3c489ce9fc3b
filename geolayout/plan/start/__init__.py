"""Plans to begin with."""
