"""The section: a pattern across a span, and all that stands and drives on it, in one dimension."""
