"""Findings printed and as data."""
