"""Files: vector, raster, phone, rover and office formats."""
