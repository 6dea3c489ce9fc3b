"""What is wanted: stands, bands, seasons, machines and operations, with no geometry."""
