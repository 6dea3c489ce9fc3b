"""Maps of rate zones as read."""
