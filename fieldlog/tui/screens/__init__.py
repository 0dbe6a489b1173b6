"""One module a screen; each shows findings and hands entries to the session."""
