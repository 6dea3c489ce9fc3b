"""Light on the ground between tree rows: sun and sky through crowns that grow."""
