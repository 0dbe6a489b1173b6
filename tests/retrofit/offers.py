"""Offers and links put together for tests; the lengths are those of the worked example, the sellers invented."""

from dataclasses import replace

from fieldlog.quantity.estimate import Figure
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.page_number import Number, as_shown
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.machine import Link
from fieldlog.records.offer import FIGURE_KEYS, Offer
from fieldlog.retrofit.offers.link_facts import EndOfLink, LinkEnd, LinkFacts, Mast, PinThere
from fieldlog.retrofit.offers.reach import Wanted
from fieldlog.retrofit.offers.sense import Check
from fieldlog.words.offer import topic_words
from fieldlog.words.speak import say
from tests.values import part, sized

THREE_QUARTERS = PinThere("3/4 in", 19.05, "stated")


def figure_of(number: Number) -> Figure:
    """A number's value with its parts, as its page lays it out."""
    value: object = number.estimate
    if isinstance(value, Value):
        return as_shown(value)
    assert isinstance(value, Figure)
    return value


def spoken(check: Check, units: Units = "mm") -> str:
    """What a point says."""
    return say(check.said, units)


def topic(check: Check) -> str:
    """What a point is about, as a page calls it."""
    return topic_words(check)


def taped(mm: float, half_mm: float = 1.0) -> Value:
    """A length with a 95 % half-width."""
    return sized(mm, (part("tape", half_mm / 1.959964, float("inf"), "test"),))


def offer(name: str, closed: str = "", opened: str = "", stroke: str = "", **more: object) -> Offer:
    """An offer by its three lengths; the rest by name."""
    texts = {"closed": closed, "open": opened, "stroke": stroke, **more}
    given = {key: parse_length(str(v)) if key in FIGURE_KEYS else v for key, v in texts.items() if v}
    return replace(Offer(id=name.lower(), name=name), **given)  # type: ignore[arg-type] # keys by name


def top_link(**more: object) -> LinkFacts:
    """The worked example's screw link, 560 to 812 mm, on 3/4 in pins, with a mast of 460 mm."""
    end = LinkEnd(EndOfLink.TRACTOR, (THREE_QUARTERS,))
    facts = LinkFacts(
        Link("top-link", "Top link"),
        taped(560),
        taped(812),
        None,
        (end, replace(end, at=EndOfLink.IMPLEMENT)),
        mast=Mast(460, "as measured"),
    )
    return replace(facts, **more)  # type: ignore[arg-type] # keys by name


ENDS = {"rod_end_hole": "3/4 in", "cap_end_hole": "3/4 in", "check_valve": "double"}
A = offer("A", "533 mm", "737 mm", "203 mm", **ENDS)
B = offer("B", "584 mm", "787 mm", "203 mm", **ENDS)
C = offer("C", "508 mm", "660 mm", "152 mm", **ENDS)
D = offer("D", "610 mm", "813 mm", "203 mm", **ENDS)


def _lost(closed_mm: float, open_mm: float) -> tuple[float | None, float | None]:
    return 0.1246 * max(closed_mm - 590, 0), 0.1246 * max(718 - open_mm, 0)


EXAMPLE_NEED = Wanted(sized(590), sized(718), "8 degrees both ways with the balls at 300 mm", _lost)
