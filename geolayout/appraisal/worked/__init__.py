"""Work done, held against work planned."""
