"""What a layout means: quantities, cautions and what follows from them."""
