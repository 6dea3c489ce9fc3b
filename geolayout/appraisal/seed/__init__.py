"""Seed: sums on paper, what the ground needs, what to order, what goes on the machine."""
