"""How a thing wears, and when it reaches its limits."""
