"""What a command is, and how Textual hears of it.

The keys of a screen in lines: its footer, and its help page.

What the marks look like: the terminal's own sixteen colours, or none at all.
"""

import os
from typing import TYPE_CHECKING, NamedTuple

from rich.style import Style
from textual.binding import Binding

from fieldlog.pages.lines import Line, Span, in_ascii, line

if TYPE_CHECKING:
    from textual.widget import Widget


class Command(NamedTuple):
    """One key: what Textual calls it, what the footer calls it, what it does and how help explains it."""

    keys: str
    shown: str
    action: str
    word: str
    help: str
    in_footer: bool = True


def bindings(commands: tuple[Command, ...]) -> list[Binding]:
    """Return Textual's bindings for the commands that have a key of their own.

    Escape goes before everything else, so that a key typed right behind it belongs to the page it leads to.
    """
    return [
        Binding(command.keys, command.action, command.word, show=False, priority=command.keys == "escape")
        for command in commands
        if command.keys and command.action
    ]


def footer_lines(commands: tuple[Command, ...], width: int) -> tuple[Line, ...]:
    """Return the footer: key and word, broken into as many lines as the width needs."""
    rows: list[list[str | Span]] = [[" "]]
    used = 1
    for command in commands:
        if not command.in_footer:
            continue
        size = len(command.shown) + 1 + len(command.word)
        if used > 1 and used + 2 + size > width:
            rows.append([" "])
            used = 1
        if used > 1:
            rows[-1].append("  ")
            used += 2
        rows[-1] += [Span(command.shown, "key"), Span(f" {command.word}", "dim")]
        used += size
    return tuple(line(*row) for row in rows)


def help_lines(commands: tuple[Command, ...], width: int) -> tuple[Line, ...]:
    """Return one paragraph a key for the help page."""
    from fieldlog.pages.lines import wrapped

    lines: list[Line] = []
    for command in commands:
        rows = wrapped(command.help, width - 13)
        lines += [
            line(Span(f"  {command.shown if number == 0 else '':<11}", "key"), *row.spans)
            for number, row in enumerate(rows)
        ]
    return tuple(lines)


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
