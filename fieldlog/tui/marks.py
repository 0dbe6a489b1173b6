"""What the marks look like: the terminal's own sixteen colours, or none at all."""

import os
from typing import TYPE_CHECKING

from rich.style import Style

from fieldlog.pages.lines import Line, in_ascii

if TYPE_CHECKING:
    from textual.widget import Widget

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


def shown(widget: "Widget", text: str) -> str:
    """Return a text as the app that a widget is in shows it."""
    return in_ascii(text) if getattr(widget.app, "ascii_only", False) else text


def joined(lines: tuple[Line, ...] | list[Line], *, ascii_only: bool = False) -> list[tuple[str, Style]]:
    """Return lines as text and style pairs, each line but the last ending in a line feed."""
    pairs: list[tuple[str, Style]] = []
    for number, row in enumerate(lines):
        if number:
            pairs.append(("\n", _NONE))
        pairs.extend((in_ascii(span.text) if ascii_only else span.text, mark_style(span.mark)) for span in row.spans)
    return pairs
