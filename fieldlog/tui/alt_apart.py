"""Escape and the key after it, which a terminal sends as it sends Alt with that key; nothing here is bound to Alt.

An Escape is told from the beginning of a longer sequence by waiting, half a second here since lines lag. A quick hand
has pressed the next key by then. So the two are taken for what they are, at once and in their order.
"""

from collections.abc import Iterable

from textual import events
from textual._xterm_parser import XTermParser

_ESCAPE = "\x1b"
_BEGIN_LONGER_ONES = frozenset("[OPX]^_\x1b")  # control sequences, function keys, what terminals send of themselves
_NO_CHARACTER = frozenset("\t\x7f")  # with Alt these are keys of their own: shift and tab on some consoles, a word back


def take_alt_apart() -> None:
    """Make the reader of the terminal's keys give out Escape and the key instead of Alt with the key."""
    as_before = XTermParser._sequence_to_key_events

    def keys_of(parser: XTermParser, sequence: str, alt: bool = False) -> Iterable[events.Key]:
        if _is_alt(sequence):
            yield events.Key("escape", _ESCAPE)
            sequence, alt = sequence[1:], False
        yield from as_before(parser, sequence, alt)

    XTermParser._sequence_to_key_events = keys_of  # type: ignore[assignment] # the one place where all keys pass


def _is_alt(sequence: str) -> bool:
    return len(sequence) == 2 and sequence[0] == _ESCAPE and sequence[1] not in _BEGIN_LONGER_ONES | _NO_CHARACTER
