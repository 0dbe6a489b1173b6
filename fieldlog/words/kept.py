"""A recommendation that is kept: why it stands where it does, what to mind, and what made it stale."""

from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.quantity.rounding import mm_text
from fieldlog.quantity.units import Units
from fieldlog.records.machine import OpenStop
from fieldlog.retrofit.offers.kept import Gone
from fieldlog.retrofit.offers.link_facts import EndOfLink
from fieldlog.retrofit.offers.sense import CylinderEnd, Level, OfferFigure, OfferVerdict, figure_origin
from fieldlog.words.eye import ENDS, ENDS_OF_LINK
from fieldlog.words.offer import stop_words

_SAYS: Mapping[OfferVerdict, str] = MappingProxyType(
    {
        OfferVerdict.FITS: "fits",
        OfferVerdict.WORK: "only needs work",
        OfferVerdict.LIMITS: "has limits but goes",
        OfferVerdict.UNCLEAR: "is only unclear",
        OfferVerdict.NO: "is out too",
    }
)
_FEWER: Mapping[Level, str] = MappingProxyType(
    {
        Level.LIMIT: "has fewer limits",
        Level.WORK: "needs less work at the pins",
        Level.NOTE: "has fewer remarks",
        Level.ASK: "leaves fewer questions",
    }
)
_GONE: Mapping[Gone, str] = MappingProxyType(
    {"struck": "struck out since", "missing": "which is not in the files any more"}
)
_BARREL_OVER_BORE_MM = (12.0, 16.0)  # how much a barrel is larger than its bore: common practice


# why it stands where it does


def behind_by_verdict(units: Units, *, name: str, verdict: OfferVerdict) -> str:
    """The one before it has a better verdict."""
    return f"Behind {name}, which {_SAYS[verdict]}."


def behind_by_reach(units: Units, *, name: str, less_mm: float) -> str:
    """The one before it loses less reach."""
    less = mm_text(less_mm, units, 1 if units == "mm" else 2)
    return f"Behind {name}, which loses {less} less reach, the closed end counted three times."


def behind_by_count(units: Units, *, name: str, level: Level) -> str:
    """The one before it has fewer points of a kind."""
    return f"Behind {name}, which {_FEWER[level]}."


def no_better(units: Units, *, name: str) -> str:
    """It is as good as the one before it."""
    return f"No better and no worse than {name}."


def other(units: Units, *, name: str, verdict: OfferVerdict, worst: str, behind: str | None) -> str:
    """What became of another offer."""
    return f"{name}: {verdict.value}. {worst}{f' {behind}' if behind else ''}"


def way_round(units: Units, *, end: CylinderEnd, at: EndOfLink) -> str:
    """Which end of the cylinder goes where."""
    return f"{ENDS[end]} at the {ENDS_OF_LINK[at]}"


def part_pins(units: Units) -> str:
    """What is ordered with every cylinder."""
    return "pins and keepers for both ends, if the seller gives none"


def look_at(units: Units, *, bore_mm: float | None) -> str:
    """What is looked at with the cylinder in hand; the barrel's size where its bore is known."""
    sizes = [mm_text(bore_mm + over, units, 0 if units == "mm" else 1) for over in _BARREL_OVER_BORE_MM if bore_mm]
    barrel = f"barrel, about {' to '.join(sizes)} across," if sizes else "barrel"
    return (
        f"With it in hand: {barrel} clear of fender, seat bracket and PTO shield as it turns; ports face up or "
        "sideways; pins and keepers with it; hoses long enough in every corner."
    )


# what to mind


def mind_corners(units: Units) -> str:
    """The four corners."""
    return (
        "From the seat, nobody near, before any work: closed and open, lowest and highest, all four. Watch cab, tyre, "
        "ground and PTO shaft; a hydraulic link can be run to either end at any height."
    )


def mind_slope(units: Units) -> str:
    """Roll on a slope."""
    return "Roll moves the centre of gravity: on a slope change it little and slowly."


def mind_shaft(units: Units) -> str:
    """The PTO shaft."""
    return "PTO shaft: check overlap and angle again in all four corners; PTO off before lifting."


def mind_no_prop(units: Units) -> str:
    """It falls."""
    return "A cylinder is no prop and a check valve no block: lower or block the implement before anyone reaches under."


def mind_pressure(units: Units) -> str:
    """It stays under pressure."""
    return (
        "Before a fitting is opened: load off, engine off, levers cycled. A locked cylinder stays under pressure even "
        "then; look for leaks with cardboard, never a hand."
    )


def mind_no_drilling(units: Units) -> str:
    """What is never drilled."""
    return "No hole is opened in cracked, cast, hardened, drawbar, steering or protective parts: that is no repair."


def mind_manual(units: Units) -> str:
    """What counts more."""
    return "The manuals of tractor and implement and the local rules win over this page; the weakest rating counts."


# what it rests on


def open_limit(units: Units, *, stop: OpenStop) -> str:
    """What ended the link's opening."""
    return stop_words(stop)


def figure(units: Units, *, figure: OfferFigure) -> str:
    """Whose a figure of the offer is, and how it was typed."""
    return f"{figure_origin(figure)}: {figure.typed}"


# what made it stale


def not_there(units: Units, *, offer: str, link: str) -> str:
    """The offer or the link is gone."""
    return f"the offer {offer} or the link {link} is not in the logbook any more"


def known_now(units: Units, *, what: str, value: str) -> str:
    """Something is known that was not."""
    return f"{what} is known now and was not: {value}"


def not_known_now(units: Units, *, what: str, value: str) -> str:
    """Something is not known any more."""
    return f"{what}, {value}, is not known any more"


def origins(units: Units, *, then: str, now: str) -> str:
    """Whence it is now, where that is another one than then."""
    return f" ({now})" if now != then else ""


def changed(units: Units, *, what: str, then: str, now: str, since: str, origins: str) -> str:
    """Something is another one than it was."""
    how = f", measured in {since}" if since else origins
    return f"{what} was {then} and is {now} now{how}"


def rests_on_gone(units: Units, *, what: str, entry: str, more: int, how: Gone) -> str:
    """It rests on entries that count no more."""
    others = f" and {more} more" if more else ""
    return f"{what} rests on {entry}{others}, {_GONE[how]}"
