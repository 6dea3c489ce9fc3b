"""Trees: where they stand along their rows, and which kind each one is."""
