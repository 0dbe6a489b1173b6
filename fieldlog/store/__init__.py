"""The only code that opens the user's files: read, check, append, amend, lock."""
