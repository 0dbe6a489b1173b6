"""Repairs of a worn hole: metal left, bush, press fit."""
