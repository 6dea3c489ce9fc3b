"""Money: prices and yields as the user knows them."""
