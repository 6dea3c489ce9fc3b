"""Rate zones: classes of a map, smoothed, and crossed with the ground."""
