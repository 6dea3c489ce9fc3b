"""Trees of a plan: spacing, kinds, growth, planting, and what is expected beside them."""
