"""Checks of an instrument against something known: closed jaws, a known bore, a known outside size.

They stand in logbook.toml under [[checks]]; one that was wrong is struck with a reason and stays.

A gauge study in the shop: who measures which holes how often with one instrument, and what was read.
"""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from fieldlog.errors import QuantityError
from fieldlog.quantity.lengths import Length, parse_length
from fieldlog.quantity.said import said
from fieldlog.quantity.units import Units

CheckKind = Literal["zero", "known bore", "known outside"]
ACCEPTED_SHOWN = said("typed.shown")


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
        raise QuantityError(said("typed.not_shown", typed=typed[:40]), ACCEPTED_SHOWN) from None
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
        raise QuantityError(said("typed.nothing"), said("typed.several_shown"))
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


MOST_TRIALS = 10


@dataclass(frozen=True, slots=True)
class StudyReading:
    """One reading of a study. A trial typed again counts instead of the earlier one; both stay on file."""

    person: str
    hole: str
    number: int
    size: Length
    at: str


@dataclass(frozen=True, slots=True)
class Study:
    """A study's plan and its trials; `people` (ids) and `holes` (any names) are lists with commas between."""

    id: str
    date: datetime.date
    instrument: str
    people: str
    holes: str
    trials: int = 3
    readings: tuple[StudyReading, ...] = ()

    @property
    def people_ids(self) -> tuple[str, ...]:
        """Who takes part."""
        return parts_of(self.people)

    @property
    def hole_names(self) -> tuple[str, ...]:
        """What is measured."""
        return parts_of(self.holes)


@dataclass(frozen=True, slots=True)
class Slot:
    """One trial that is to be made."""

    person: str
    hole: str
    number: int


def parts_of(text: str) -> tuple[str, ...]:
    """Return the names in a list with commas, none twice."""
    names = (part.strip() for part in text.split(","))
    return tuple(dict.fromkeys(name for name in names if name))


def counted(study: Study) -> Mapping[Slot, StudyReading]:
    """Return the trial that counts for every one that was made: the last."""
    return {Slot(trial.person, trial.hole, trial.number): trial for trial in study.readings}


def plan(study: Study) -> tuple[Slot, ...]:
    """Return all trials in the order in which they are made.

    Everybody measures all holes once before anybody begins again, and in another order each time, so that
    nobody remembers what he read before. The order is the same whenever it is asked for.
    """
    import random

    slots: list[Slot] = []
    for number in range(1, study.trials + 1):
        for who in study.people_ids:
            holes = list(study.hole_names)
            random.Random(f"{study.id} {who} {number}").shuffle(holes)
            slots += [Slot(who, hole, number) for hole in holes]
    return tuple(slots)


def next_slot(study: Study) -> Slot | None:
    """Return the next trial to be made, None when all are."""
    done = counted(study)
    return next((slot for slot in plan(study) if slot not in done), None)


def readings_mm(study: Study) -> list[list[list[float]]] | None:
    """Return the trials by person and hole in mm, None while some are still to be made."""
    done = counted(study)
    if next_slot(study) is not None:
        return None
    numbers = range(1, study.trials + 1)
    return [
        [[float(done[Slot(who, hole, number)].size.mm) for number in numbers] for hole in study.hole_names]
        for who in study.people_ids
    ]
