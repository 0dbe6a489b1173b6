"""What must be set before the screen library is imported, so that nothing is sent that the eye does not see.

The ansi theme always. The terminal's own sixteen colours cost fewer bytes and are readable on light and dark. It must
be set before Textual is imported (`tui/quiet.py`).
"""

import os


def prepare() -> None:
    """Switch animations off, wait longer for split key sequences, and trust the terminal's own size.

    The terminal's own sixteen colours are used throughout (the theme is read once, at import): fewer bytes,
    readable on light and dark screens alike.
    """
    environment = os.environ
    environment["TEXTUAL_ANIMATIONS"] = "none"
    environment.setdefault("TEXTUAL_SMOOTH_SCROLL", "0")
    environment.setdefault("TEXTUAL_DISABLE_KITTY_KEY", "1")
    environment.setdefault("ESCDELAY", "500")
    environment["TEXTUAL_THEME"] = "ansi-dark"
    environment.pop("COLUMNS", None)
    environment.pop("LINES", None)
