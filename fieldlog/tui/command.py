"""What a command is, and how Textual hears of it."""

from typing import NamedTuple

from textual.binding import Binding


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
