"""What a number is: lengths as typed, units, estimates with their doubt, rounding; the ground that all stands on."""
