"""Blocks: land with its own guide, parted by lines or in tiers, and as another season has it."""
