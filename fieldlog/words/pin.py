"""Which pin it is, what speaks for it, and what would settle it."""
