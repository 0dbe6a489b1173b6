"""Cylinders on offer against a link: reach, pins, work, verdict, what is kept."""
