"""What is odd about readings, and what an instrument is worth."""
