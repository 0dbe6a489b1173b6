"""Checks of an instrument against something known: closed jaws, a known bore, a known outside size.

They stand in logbook.toml under [[checks]]; one that was wrong is struck with a reason and stays.
"""

import datetime
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from fieldlog.errors import QuantityError
from fieldlog.quantity.lengths import Length, Units, parse_length

CheckKind = Literal["zero", "known bore", "known outside"]
ACCEPTED_SHOWN = "Type what it shows, such as 0.00, 0.02 or -0.01"


@dataclass(frozen=True, slots=True)
class Shown:
    """What an instrument showed, as typed; below zero it may be only in a check."""

    typed: str
    mm: Decimal
    length: Length


@dataclass(frozen=True, slots=True)
class Check:
    """One check of one instrument on one day; `tolerance` is the half-width within which `size` is known."""

    instrument: str
    date: datetime.date
    kind: CheckKind
    readings: tuple[Shown, ...]
    size: Length | None = None
    tolerance: Length | None = None
    of: str = ""
    by: str = ""
    struck: str = ""

    @property
    def deviation_mm(self) -> float:
        """What the mean of its readings is over the known size; a closed instrument's known size is zero."""
        known = float(self.size.mm) if self.size is not None else 0.0
        return sum(float(shown.mm) for shown in self.readings) / len(self.readings) - known


def parse_shown(text: str, default_unit: Units = "mm") -> Shown:
    """Read what an instrument shows, a length with a sign before it or none.

    Raises:
        QuantityError: the text is no such thing; the message says what is accepted.
    """
    typed = " ".join(text.replace("−", "-").split())
    sign = -1 if typed.startswith("-") else 1
    try:
        length = parse_length(typed[1:].strip() if typed[:1] in ("+", "-") else typed, default_unit)
    except QuantityError:
        raise QuantityError(f'"{typed[:40]}" is not what an instrument shows. {ACCEPTED_SHOWN}.') from None
    return Shown(f"{'-' if sign < 0 else ''}{length.typed}", sign * length.mm, length)


def parse_shown_list(text: str, default_unit: Units = "mm") -> tuple[Shown, ...]:
    """Read several of them with blanks or semicolons between: "0.00 0.01 -0.01" or "0.7871 in; 0.7870 in".

    Raises:
        QuantityError: one of them cannot be read.
    """
    between = ";" if ";" in text else None
    text = text.replace(", ", " ")
    pieces = [piece.strip() for piece in text.split(between) if piece.strip()]
    if between is None and any(piece[0].isalpha() for piece in pieces):
        pieces = _with_units(pieces)
    if not pieces:
        raise QuantityError(f"Nothing typed. {ACCEPTED_SHOWN}; several with blanks between.")
    return tuple(parse_shown(piece, default_unit) for piece in pieces)


def _with_units(pieces: list[str]) -> list[str]:
    """Return numbers with the unit word that follows each."""
    joined: list[str] = []
    for piece in pieces:
        if piece[0].isalpha() and joined:
            joined[-1] = f"{joined[-1]} {piece}"
        else:
            joined.append(piece)
    return joined


def standing_checks(checks: tuple[Check, ...]) -> tuple[Check, ...]:
    """Return the checks that are not struck and have readings, by date."""
    return tuple(sorted((c for c in checks if not c.struck and c.readings), key=lambda check: check.date))


def check_words(check: Check) -> str:
    """Return what a check says in one line."""
    shown = ", ".join(reading.typed for reading in check.readings) or "no reading"
    within = f" ± {check.tolerance.typed}" if check.tolerance is not None else ""
    known = f" {check.size.typed}{within}" if check.size is not None else ""
    of = f" ({check.of})" if check.of else ""
    return f"{check.kind}{known}{of}: {shown}"
