"""From sizes over the seasons to decisions: spans, clearance, limits, verdicts."""
