"""Evidence typed in one line: '19.05 goes, 19.5 no', '3/4 pin one side', 'play 0.6 dial', 'feeler 0.3', 'threads inch'.

Words may stand in any order beside the size; a comma or semicolon with a space begins the next piece of evidence.
"""

import re
from dataclasses import dataclass
from typing import Literal, TypeVar, cast, get_args

from fieldlog.errors import QuantityError
from fieldlog.quantity.lengths import Length, parse_length
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.text import shortened
from fieldlog.quantity.units import Units
from fieldlog.records.entries import PlayBy, TrialBy, TrialResult
from fieldlog.records.machine import HitchCategory, Keeper, PinKind

_LARGEST_MM = 200
_NAMED_DRILL = re.compile(r"(?:letter )?[a-z]|(?:#|no\.? ?|number )\d{1,2}")
_MOST_PLAY_MM = 50
_NEXT = re.compile(r"[,;]\s+|;|(?<=[A-Za-z\"']),")
_RESULTS: tuple[tuple[str, TrialResult], ...] = (
    (r"one (?:side|way|face)(?: only)?|sticks|taper", "one side only"),
    (r"does not go|doesn't go|not|no|n", "no"),
    (r"goes(?: in| through)?|go|yes|g|y", "goes"),
)
_PLAY_BY: tuple[tuple[str, PlayBy], ...] = (
    ("(?:by )?dial", "dial"),
    ("(?:by )?marks?", "marks"),
    ("rock(?:ed)?|(?:by )?eye", "rocked"),
)
_THREADS: tuple[tuple[str, Units], ...] = (("inch|in", "in"), ("metric|mm", "mm"))
FactKey = Literal["keeper", "pin_kind", "link_threads", "hitch_category"]
W = TypeVar("W", bound=str)


@dataclass(frozen=True, slots=True)
class TrialTyped:
    """A pin or shank tried."""

    size: Length
    result: TrialResult
    by: TrialBy


@dataclass(frozen=True, slots=True)
class PlayTyped:
    """Play in place, or a feeler."""

    size: Length
    by: PlayBy


@dataclass(frozen=True, slots=True)
class FactTyped:
    """A fact of the joint (keeper, kind of pin) or of the machine (threads, hitch category)."""

    key: FactKey
    value: str


Typed = TrialTyped | PlayTyped | FactTyped


def accepted_evidence(unit: Units) -> Said:
    """Return what can be typed, with sizes as they are in the unit of a bare number."""
    return said("typed.evidence", unit=unit)


def parse_evidence(text: str, default_unit: Units = "mm") -> tuple[Typed, ...]:
    """Read a line of evidence; several pieces may stand in it, parted by commas.

    Raises:
        QuantityError: a piece cannot be read; the message repeats it and lists what is accepted.
    """
    pieces = [" ".join(piece.split()) for piece in _NEXT.split(text) if piece.strip()]
    if not pieces:
        raise QuantityError(said("typed.nothing"), accepted_evidence(default_unit))
    return tuple(_piece(piece, default_unit) for piece in pieces)


def _piece(text: str, unit: Units) -> Typed:
    word, left = _word(text.lower(), (("play", "play"), ("feeler", "feeler")))
    if word is not None:
        return _play(text, word, left, unit)
    first, _, rest = text.lower().partition(" ")
    if first == "keeper":
        return FactTyped("keeper", _one_of(text, rest, get_args(Keeper)))
    if first in {"threads", "thread"}:
        found, left = _word(rest, _THREADS)
        if found is None or left:
            raise QuantityError(said("typed.no_thread_kind", typed=shortened(text)))
        return FactTyped("link_threads", found)
    if first == "category":
        return FactTyped("hitch_category", _one_of(text, rest.upper(), get_args(HitchCategory)))
    if first == "pin" and not any(char.isdigit() for char in rest):
        return FactTyped("pin_kind", _one_of(text, rest, get_args(PinKind)))
    return _trial(text, unit)


def _one_of(text: str, typed: str, choices: tuple[str, ...]) -> str:
    """Return the choice that was typed, or that only one choice begins with."""
    found = [choice for choice in choices if choice == typed] or [c for c in choices if typed and c.startswith(typed)]
    if len(found) != 1:
        raise QuantityError(said("typed.one_of", typed=shortened(text), choices=choices))
    return found[0]


def _play(text: str, word: str, rest: str, unit: Units) -> PlayTyped:
    by, left = _word(rest, _PLAY_BY) if word == "play" else ("feeler", rest)
    size = _size(text, left, unit)
    if size.mm > _MOST_PLAY_MM:
        raise QuantityError(said("typed.much_play", typed=shortened(text), most=_MOST_PLAY_MM, word=word))
    return PlayTyped(size, by or "marks")


def _trial(text: str, unit: Units) -> TrialTyped:
    result, left = _word(text.lower(), _RESULTS)
    if result is None:
        raise QuantityError(said("typed.no_result", typed=shortened(text)), accepted_evidence(unit))
    by, left = _word(left, (("shank|drill", "shank"), ("pin", "pin")))
    size = _size(text, left, unit)
    if not 0 < size.mm <= _LARGEST_MM:
        raise QuantityError(said("typed.no_pin", typed=shortened(text), most=_LARGEST_MM))
    return TrialTyped(size, result, cast("TrialBy", by) if by is not None else "pin")


def _size(text: str, left: str, unit: Units) -> Length:
    if _NAMED_DRILL.fullmatch(left):
        raise QuantityError(said("typed.named_drill", typed=shortened(text)))
    try:
        return parse_length(left, unit)
    except QuantityError as error:
        if not any(char.isdigit() for char in left):
            raise QuantityError(said("typed.no_size_in", typed=shortened(text)), accepted_evidence(unit)) from None
        raise QuantityError(error.what, accepted_evidence(unit)) from None


def _word(text: str, words: tuple[tuple[str, W], ...]) -> tuple[W | None, str]:
    """Return what the first of the words found in a text stands for, and the text without it."""
    for pattern, meaning in words:
        match = re.search(rf"(?<![\w/]){pattern}(?![\w/])".replace(pattern, f"(?:{pattern})"), text)
        if match:
            return meaning, " ".join((text[: match.start()] + " " + text[match.end() :]).split())
    return None, text
