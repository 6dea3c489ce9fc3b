"""What is said on screens and on paper, subject by subject."""
