"""Parts: what goes together, and what to order."""
