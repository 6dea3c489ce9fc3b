"""Trees: counts, order, pegs, later years, what was planted, and what they do beside them."""
