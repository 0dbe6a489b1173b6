"""What is to be said, before it is words: a code and what it is about.

Whoever finds something out says so by a code and values; `fieldlog.words` makes English of it. So code may ask what was
said, and no sentence, label or name decides anything.
"""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Said:
    """One thing to be said: its code, as `area.what`, and what it is about, by name.

    What it is about are values, records, codes, or other things said; never a sentence.
    """

    code: str
    about: tuple[tuple[str, object], ...] = ()

    def of(self, name: str) -> object:
        """Return one of the things it is about.

        Raises:
            KeyError: it is not about anything of that name.
        """
        return dict(self.about)[name]

    def __format__(self, spec: str) -> str:
        """Refuse to stand in a text before it is words."""
        raise TypeError(f"{self.code} is not words yet")


def said(code: str, /, **about: object) -> Said:
    """Return something to be said; `tests/words` holds its code and its names against the words there are."""
    return Said(code, tuple(about.items()))


def codes_of(things: Iterable[Said]) -> frozenset[str]:
    """Return what was said, by code."""
    return frozenset(thing.code for thing in things)
