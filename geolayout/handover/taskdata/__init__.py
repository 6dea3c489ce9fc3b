"""Task data of ISO 11783-10: field, guidance, products and rates for the terminal of a machine."""
