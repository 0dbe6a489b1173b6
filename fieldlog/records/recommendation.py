"""A recommendation that somebody decided to keep: which offer for which link, why, and what it rests on.

The attribute names are the TOML keys of `<machine>/retrofits/<link>-<date>.toml`. It is never written over; what it
rested on is compared with what is known now, and where they differ it is stale.
"""

import datetime
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """One thing that a recommendation rests on: what it is, its value then, and the entries it came from."""

    what: str
    value: str
    plus_minus: str = ""
    origin: str = ""
    entries: tuple[str, ...] = ()


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
