"""Crops: what is known of them, their seed and their stages."""
