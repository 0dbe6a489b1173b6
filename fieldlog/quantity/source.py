"""Where doubt comes from: one unknown, such as a caliper's limit of error, known by its id wherever it shows up.

What two values share cancels or adds up because it is the same source, and it is the same because its id is. So an id
is made of the ids of instruments, rounds and readings, never of a name or of words.
"""

import math
from dataclasses import KW_ONLY, dataclass, field, replace
from typing import Literal, NamedTuple

Kind = Literal[
    "scatter",  # of readings among each other
    "step",  # to which readings were read
    "temperature",
    "limit",  # of error, of an instrument
    "zero",  # of an instrument, which may move from day to day
    "jaws",  # of a caliper, inside
    "hands",  # people who read differently
    "setting",  # how a tape, a plumb line or an eye is held
    "typing",  # the step of what was typed once
    "shape",  # what the fitted shape leaves out
    "line",  # days about a line
    "alike",  # things of one kind differ
    "usual",  # nobody measured it
    "stated",  # as a seller, a plate or a book has it
]


class Unsound(Exception):
    """A mistake of the program in dealing with values, left to crash: an unknown id, two units added."""


@dataclass(frozen=True, slots=True)
class Source:
    """One unknown. Two are the same when their ids are; everything else describes it and must not differ then.

    Attributes:
        id: of ids of instruments, rounds and readings.
        kind: what code may ask about it.
        label: what a person calls it; nothing may depend on it.
        whose: what a person calls that which `of` is; nothing may depend on it either.
        why: where its size comes from, for people too.
        dof: how well its standard uncertainty is known.
        is_limit: a rectangle: sqrt(3) times its standard uncertainty either way, and not beyond.
        pool: sources of one pool have one estimated scatter; its degrees of freedom count once.
        wanders: what this is one day of, such as a zero that is another one each day, and never far from itself.
        of: what would have to be measured better, where that takes away more than this source.
    """

    id: str
    kind: Kind = field(compare=False)
    _: KW_ONLY
    label: str = field(default="", compare=False)
    whose: str = field(default="", compare=False)
    why: str = field(default="", compare=False)
    dof: float = field(default=math.inf, compare=False)
    is_limit: bool = field(default=False, compare=False)
    pool: str = field(default="", compare=False)
    wanders: str = field(default="", compare=False)
    of: str = field(default="", compare=False)

    @property
    def measured(self) -> str:
        """What one better measurement would take away together."""
        return self.of or self.pool or self.wanders or self.id

    @property
    def called(self) -> str:
        """What a person calls that which would be measured better."""
        return self.whose or self.label

    @property
    def named(self) -> str:
        """Its whole name to a person: whose it is, and what."""
        return f"{self.whose}: {self.label}" if self.whose and self.label else self.called

    def agrees(self, other: "Source") -> bool:
        """Tell whether two sources of one id do the same to a budget; label and why are for people only."""
        return self is other or _facts(self) == _facts(other)


def _facts(source: Source) -> tuple[object, ...]:
    return source.kind, source.dof, source.is_limit, source.pool, source.wanders, source.of


class Term(NamedTuple):
    """By how much a source moves a value: its standard uncertainty in the value's unit, with a sign.

    `met` is the most that came together in it with the other sign, so that a budget can tell what cancels.
    """

    source: Source
    u: float
    met: float = 0.0

    @property
    def half_width(self) -> float:
        """Half the width of the rectangle, for a limit."""
        return math.sqrt(3) * abs(self.u)

    def times(self, factor: float) -> "Term":
        """Return the term in a multiple of its value."""
        return Term(self.source, factor * self.u, abs(factor) * self.met)

    def called(self, label: str) -> "Term":
        """Return the same under another label, which is for people only."""
        return self._replace(source=replace(self.source, label=label))


def limit(
    source_id: str, half_width: float, kind: Kind = "limit", *, label: str = "", why: str = "", of: str = ""
) -> Term:
    """Return a limit of error: a rectangle, whose standard uncertainty is its half-width / sqrt(3) (GUM 4.3.7)."""
    return Term(Source(source_id, kind, label=label, why=why, is_limit=True, of=of), half_width / math.sqrt(3))


def step(source_id: str, half_width: float, *, label: str = "", why: str = "") -> Term:
    """Return the step that something was read or typed to, as a rectangle."""
    return limit(source_id, half_width, "step", label=label, why=why)


def zero(whose: str, day: str, half_width: float, *, label: str = "", why: str = "") -> Term:
    """Return the limit of a zero on one day: the same in all that is measured then, another one on another day."""
    source = Source(f"{whose}, {day}", "zero", label=label, why=why, is_limit=True, wanders=whose)
    return Term(source, half_width / math.sqrt(3))


def scatter(source_id: str, u: float, dof: float, *, label: str = "", why: str = "", pool: str = "") -> Term:
    """Return the scatter of readings as a standard uncertainty with its degrees of freedom (GUM 4.2)."""
    return Term(Source(source_id, "scatter", label=label, why=why, dof=dof, pool=pool), u)
