"""What a number is: lengths as typed, units, values with their doubt by source, rounding; all else stands on it."""
