"""Seasons: what was worn, greased, put off."""
