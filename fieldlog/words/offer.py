"""Cylinders on offer against a link: every point, its reason, the verdict."""
