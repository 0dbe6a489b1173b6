"""A gauge study in the shop: who measures which holes how often with one instrument, and what was read.

It stands in a file of its own, `studies/<date>-<instrument>.toml`, to which every trial is added as it is typed.
"""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass

from fieldlog.quantity.lengths import Length

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
