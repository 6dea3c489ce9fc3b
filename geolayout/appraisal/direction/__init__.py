"""Which way the rows run: every bearing looked at, the best few laid out, hours counted."""
