"""A cylinder on offer, as its seller states it and as measured when it is in hand.

The attribute names are the TOML keys of `offers/<name>.toml`. Every figure may be missing: sellers leave them out.

A recommendation that somebody decided to keep: which offer for which link, why, and what it rests on.
"""

import datetime
from dataclasses import dataclass
from typing import Literal

from fieldlog.quantity.lengths import Length
from fieldlog.quantity.units import Mass, Pressure

EndKind = Literal["cross tube", "clevis", "ball", "swivel", "plain eye"]
CheckValve = Literal["none", "single", "double"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Figures:
    """The lengths that both a seller and a person with a tape can give.

    A width is along the pin, an outside across the eye through its hole: asked for where the hole must be opened.
    """

    closed: Length | None = None
    open: Length | None = None
    stroke: Length | None = None
    bore: Length | None = None
    rod: Length | None = None
    rod_end_hole: Length | None = None
    rod_end_width: Length | None = None
    rod_end_outside: Length | None = None
    cap_end_hole: Length | None = None
    cap_end_width: Length | None = None
    cap_end_outside: Length | None = None


FIGURE_KEYS = (
    "closed",
    "open",
    "stroke",
    "bore",
    "rod",
    "rod_end_hole",
    "rod_end_width",
    "rod_end_outside",
    "cap_end_hole",
    "cap_end_width",
    "cap_end_outside",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class InHand(Figures):
    """What somebody measured on the cylinder itself; it outranks what the seller says."""

    day: datetime.date
    who: str = ""
    notes: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer(Figures):
    """One cylinder; `id` is the name of its file. `set_aside` says why it is out of the running."""

    id: str
    name: str = ""
    supplier: str = ""
    price: str = ""
    rod_end: EndKind | None = None
    cap_end: EndKind | None = None
    rated_pressure: Pressure | None = None
    ports: str = ""
    check_valve: CheckValve | None = None
    weight: Mass | None = None
    notes: str = ""
    set_aside: str = ""
    measured: tuple[InHand, ...] = ()

    @property
    def shown_name(self) -> str:
        """The name given, or the file's where none is."""
        return self.name or self.id


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """One thing that a recommendation rests on: what it is, its value then, and the entries it came from.

    `id` tells it from all others whatever it is called; a file of an older program has none.
    """

    what: str
    value: str
    plus_minus: str = ""
    origin: str = ""
    entries: tuple[str, ...] = ()
    id: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Recommendation:
    """One kept recommendation; `id` is the name of its file."""

    id: str
    link: str
    day: datetime.date
    offer: str
    verdict: str
    who: str = ""
    offer_name: str = ""
    words: str = ""
    way_round: str = ""
    reasons: tuple[str, ...] = ()
    others: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    basis: tuple[Basis, ...] = ()
