"""From readings to sizes: repeats and their uncertainty, bore shape, pin candidates, lengths."""
