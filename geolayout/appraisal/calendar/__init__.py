"""The season: degree days, days of stages, windows of work and the order of harvest."""
