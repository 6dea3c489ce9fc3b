"""The field as it is: its boundary, what stands in it, and the frame it is measured in."""
