"""A trial becomes a plan, a harvest becomes a verdict."""
