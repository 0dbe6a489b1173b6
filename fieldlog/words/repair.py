"""Repairs of a worn hole: ways, metal left, bushes."""
