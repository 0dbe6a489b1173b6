"""The open logbook: what is read, kept, watched, written; seasons, comparisons. No screen."""
