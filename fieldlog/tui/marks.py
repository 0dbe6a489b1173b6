"""What the marks look like: the terminal's own sixteen colours, or none at all."""

import os

from rich.style import Style

from fieldlog.report.lines import Line

_COLOURED = {
    "stop": Style(bold=True, color="red"),
    "renew": Style(color="red"),
    "plan": Style(color="yellow"),
    "re-measure": Style(color="cyan"),
    "sound": Style(color="green"),
    "head": Style(bold=True),
    "dim": Style(dim=True),
    "strong": Style(bold=True),
    "warn": Style(color="yellow", bold=True),
    "key": Style(bold=True),
    "struck": Style(dim=True, strike=True),
    "picture": Style(),
}
_PLAIN = {
    "stop": Style(bold=True),
    "renew": Style(bold=True),
    "head": Style(bold=True),
    "strong": Style(bold=True),
    "warn": Style(bold=True),
    "key": Style(bold=True),
}
_NONE = Style()


def mark_style(mark: str) -> Style:
    """Return the look of a mark, without colour when NO_COLOR is set."""
    return (_PLAIN if os.environ.get("NO_COLOR") else _COLOURED).get(mark, _NONE)


def joined(lines: tuple[Line, ...] | list[Line]) -> list[tuple[str, Style]]:
    """Return lines as text and style pairs, each line but the last ending in a line feed."""
    pairs: list[tuple[str, Style]] = []
    for number, row in enumerate(lines):
        if number:
            pairs.append(("\n", _NONE))
        pairs.extend((span.text, mark_style(span.mark)) for span in row.spans)
    return pairs
