"""The line of a record's key in a TOML file, for a problem that the parser knows nothing of.

A scanner, not a parser: where a file is written in a way it does not follow, it answers 0, never a wrong line.
"""

import re

_ANY_HEADER = re.compile(r"^[ \t]*\[", re.MULTILINE)
_LONG_STRINGS = ('"""', "'''")


def line_at(text: str, position: int) -> int:
    """Return the line, counted from 1, that a position in the text is on."""
    return text.count("\n", 0, position) + 1


def key_line(text: str, table: str, index: int, key: str, count: int) -> int:
    """Return the line of a key in the `index`-th of `count` [[table]] records, else of its heading, else 0.

    With an empty `table` the key is looked for above the first heading.
    """
    if any(quotes in text for quotes in _LONG_STRINGS):
        return 0
    if not table:
        return _line_within(text, 0, key)
    name = re.escape(table)
    heading = rf"^[ \t]*\[\[[ \t]*(?:{name}|\"{name}\"|'{name}')[ \t]*\]\][ \t]*(?:#.*)?\r?$"
    found = [match.start() for match in re.finditer(heading, text, re.MULTILINE)]
    if len(found) != count:  # an inline list, a dotted heading, or a heading inside something else
        return 0
    return _line_within(text, found[index], key) or line_at(text, found[index])


def table_line(text: str, table: str, key: str) -> int:
    """Return the line of a key in the one [table], else of its heading, else 0."""
    if any(quotes in text for quotes in _LONG_STRINGS):
        return 0
    name = re.escape(table)
    found = re.search(rf"^[ \t]*\[[ \t]*{name}[ \t]*\][ \t]*(?:#.*)?\r?$", text, re.MULTILINE)
    if found is None:
        return 0
    return _line_within(text, found.start(), key) or line_at(text, found.start())


def _line_within(text: str, start: int, key: str) -> int:
    """Return the line of a key between `start` and the next heading, or 0."""
    first_line_end = text.find("\n", start) if text.startswith("[", start) or start else start
    if first_line_end < 0 or not key:
        return 0
    following = _ANY_HEADER.search(text, first_line_end)
    name = re.escape(key)
    pattern = re.compile(rf"^[ \t]*(?:{name}|\"{name}\"|'{name}')[ \t]*=", re.MULTILINE)
    match = pattern.search(text, first_line_end, following.start() if following else len(text))
    return line_at(text, match.start()) if match else 0
