"""Records and findings as tables, text sheets and JSON; the width is given by the caller."""
