"""Pictures: the map and the other drawings, and what they share."""
