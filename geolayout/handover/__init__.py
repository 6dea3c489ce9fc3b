"""What leaves the house: files and printed sheets."""
