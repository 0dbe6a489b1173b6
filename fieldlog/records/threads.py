"""Screw threads of hitch links: the size as written, the hand at each end, turns counted."""

import re
from decimal import Decimal
from typing import Literal, NewType

from fieldlog.errors import QuantityError
from fieldlog.records.frozen import dataclass

ThreadForm = Literal["metric", "inch", "trapezoidal"]
Hand = Literal["right", "left", "none"]
OpenStop = Literal["groove", "stop pin", "thread"]
LinkEnd = Literal["near", "far"]
Turns = NewType("Turns", Decimal)

ENDS: tuple[LinkEnd, ...] = ("near", "far")
MOST_TURNS = 500
ACCEPTED_TURNS = "write turns as a number such as 42, 42.5 or 42 1/2"
_TURNS = re.compile(r"^(?P<whole>\d{1,4})(?:[.,](?P<part>\d{1,3}))?(?:[\s-]+(?P<fraction>1/2|1/4|3/4))?$", re.ASCII)
_FRACTIONS = {"1/2": Decimal("0.5"), "1/4": Decimal("0.25"), "3/4": Decimal("0.75")}


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread by its designation: nominal diameter, pitch and lead in mm; the lead is what one turn moves it.

    `series` is UNC, UNF, UN or UNS for inch threads, coarse, fine or special for metric ones, empty for trapezoidal.
    """

    typed: str
    form: ThreadForm
    d_mm: Decimal
    pitch_mm: Decimal
    lead_mm: Decimal
    series: str = ""


def parse_turns(text: str) -> Turns:
    """Read a count of turns such as 42, 42.5 or 42 1/2.

    Raises:
        QuantityError: the text is no count of turns, or none was turned.
    """
    typed = " ".join(text.replace("½", " 1/2").replace("¼", " 1/4").replace("¾", " 3/4").split())
    match = _TURNS.match(typed.removesuffix("turns").strip())
    if match is None or (match["part"] and match["fraction"]):
        raise QuantityError(f'"{typed[:40]}" is no count of turns; {ACCEPTED_TURNS}.')
    turns = Decimal(f"{match['whole']}.{match['part'] or 0}") + _FRACTIONS.get(match["fraction"] or "", Decimal(0))
    if not 0 < turns <= MOST_TURNS:
        raise QuantityError(f'"{typed[:40]}" turns cannot be right; {ACCEPTED_TURNS}.')
    return Turns(turns.normalize() if turns % 1 else Decimal(int(turns)))
