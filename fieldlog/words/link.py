"""Links: lengths, thread, how far they may be opened."""
