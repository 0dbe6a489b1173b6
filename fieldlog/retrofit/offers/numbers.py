"""The numbers of an offer against its link, each declared once: the points and the page ask for them by id.

The numbers that a kept recommendation rests on, as they were kept, each with the entries that it came from.
"""

import math
import re
from collections.abc import Iterator, Mapping

from fieldlog.quantity.estimate import Estimate, Figure, FigurePart
from fieldlog.quantity.number import Behind, Found, Number, Numbers, missing
from fieldlog.quantity.page_number import Number as PageNumber
from fieldlog.quantity.text import day_text
from fieldlog.quantity.value import Value
from fieldlog.records.offer import FIGURE_KEYS, Basis, Recommendation
from fieldlog.retrofit.carried import Carried, Measure, of_estimate
from fieldlog.retrofit.offers.demand import as_value, offer_measure
from fieldlog.retrofit.offers.link_facts import LinkFacts
from fieldlog.retrofit.offers.pins import as_hole
from fieldlog.retrofit.offers.reach import Wanted
from fieldlog.retrofit.offers.sense import CylinderEnd, OfferFigure

_GIVEN = (*FIGURE_KEYS, "needed_closed", "needed_open", "link_closed", "link_open", "link_as_set", "other_rod")
_AT_AN_END = ("hole", "pin", "gap", "width")


def offer_numbers(
    figures: Mapping[str, OfferFigure], facts: LinkFacts, wanted: Wanted | None, near_end: CylinderEnd
) -> Numbers:
    """Return every number of an offer against a link; `near_end` is which end of it is at the tractor, or up."""
    given = {key: offer_measure(figure) for key, figure in figures.items()}
    given |= {**_of_link(facts), **_needed(wanted)}
    for end, eye in zip(facts.ends, (near_end, other_end(near_end)), strict=True):
        given |= {f"{key}/{end.at}": size for key, size in _at_end(figures, facts, end.at, eye).items()}
    ids = (*_GIVEN, *(f"{key}/{end.at}" for end in facts.ends for key in _AT_AN_END))
    known: dict[str, Found] = {key: missing(key) for key in ids}
    known |= {key: as_value(key, measure) for key, measure in given.items()}
    behind = {key: Behind(measure.keys, measure.typed) for key, measure in given.items()}
    behind |= {key: found for key, found in facts.behind.items() if key in given}
    return Numbers([*_declared(), *_rooms(facts)], known, behind)


def other_end(end: CylinderEnd) -> CylinderEnd:
    """Return the other end of a cylinder."""
    return CylinderEnd.ROD if end is CylinderEnd.CAP else CylinderEnd.CAP


def _of_link(facts: LinkFacts) -> dict[str, Measure]:
    sizes = (
        ("link_closed", "link closed", facts.closed),
        ("link_open", "link open", facts.open),
        ("link_as_set", "link as set", facts.as_set),
        ("other_rod", facts.other_rod_name or "other lift rod", facts.other_rod),
    )
    return {key: of_estimate(size, label) for key, label, size in sizes if size is not None}


def _needed(wanted: Wanted | None) -> dict[str, Measure]:
    if wanted is None:
        return {}
    behind = wanted.behind or (None, None)
    return {
        "needed_closed": _need(wanted.least, behind[0], "shortest length needed"),
        "needed_open": _need(wanted.most, behind[1], "longest length needed"),
    }


def _need(size: Estimate, found: Carried | None, label: str) -> Measure:
    return found.as_measure(label) if found is not None else of_estimate(size, label)


def _at_end(figures: Mapping[str, OfferFigure], facts: LinkFacts, at: str, eye: CylinderEnd) -> dict[str, Measure]:
    """Return hole and width of the eye that goes to an end of the link, and the pin and the gap there."""
    end = next(end for end in facts.ends if end.at == at)
    hole, width, found = figures.get(f"{eye}_hole"), figures.get(f"{eye}_width"), {}
    if hole is not None:
        found["hole"] = of_estimate(
            as_hole(hole), f"offer, hole at the {_label(eye)}", (), offer_measure(hole).typed[0]
        )
    if width is not None:
        found["width"] = offer_measure(width)
    if len(end.pins) == 1:
        found["pin"] = Measure(end.pins[0].mm, (), "pin")
    if end.gap is not None:
        found["gap"] = of_estimate(end.gap, f"gap at the {_label(at)}")
    return found


def _label(code: str) -> str:
    return code.replace("_", " ")


def _less(number_id: str, first: str, second: str) -> Number:
    def answer(of: Mapping[str, Value]) -> Value:
        return of[first] - of[second]

    return Number(number_id, "mm", (first, second), answer, is_change=True)


def _declared() -> tuple[Number, ...]:
    return (
        _less("closed_to_need", "needed_closed", "closed"),
        _less("open_to_need", "open", "needed_open"),
        _less("closed_to_link", "closed", "link_closed"),
        _less("open_to_link", "open", "link_open"),
        _less("in_hand_closed", "link_as_set", "closed"),
        _less("in_hand_open", "open", "link_as_set"),
        Number(
            "mid_stroke",
            "mm",
            ("closed", "open", "other_rod"),
            lambda of: (of["closed"] + of["open"]) / 2 - of["other_rod"],
            is_change=True,
        ),
        _less("shorter_from_level", "other_rod", "closed"),
        _less("longer_from_level", "open", "other_rod"),
        _less("travel", "open", "closed"),
        _less("dead_length", "closed", "stroke"),
        Number("dead_length_without_stroke", "mm", ("closed", "open"), lambda of: 2 * of["closed"] - of["open"]),
    )


def _rooms(facts: LinkFacts) -> Iterator[Number]:
    """Declare the room that each eye has on the pin there, and in the gap it goes into."""
    for end in facts.ends:
        yield _less(f"room_on_pin/{end.at}", f"hole/{end.at}", f"pin/{end.at}")
        yield _less(f"room_in_gap/{end.at}", f"gap/{end.at}", f"width/{end.at}")


_MM = re.compile(r"^(-?\d+(?:\.\d+)?) mm$")
_NORMAL = 1.959964  # 95 % of a bell, which the kept half-width is taken as


def kept_numbers(told: Recommendation) -> list[PageNumber]:
    """Return every length that a recommendation rests on; what its doubt was made of then is not kept."""
    return [number for basis in told.basis if (number := _number(basis, told)) is not None]


def _number(basis: Basis, told: Recommendation) -> PageNumber | None:
    match = _MM.match(basis.value)
    if match is None:
        return None
    about = f"{basis.what[:1].upper()}{basis.what[1:]}, as it was on {day_text(told.day)}"
    said = "The offers page, o on the page before, has the same number as it is today, with its parts."
    typed = (f"{basis.what}: {basis.origin}",) if basis.origin else ()
    return PageNumber(
        basis.what, about, Figure(float(match[1]), "mm", _parts(basis)), basis.entries, said=said, typed=typed
    )


def _parts(basis: Basis) -> tuple[FigurePart, ...]:
    match = _MM.match(basis.plus_minus)
    if match is None:
        return ()
    source = f"± {basis.plus_minus} at 95 %, kept in the file without its parts"
    return (FigurePart("as it was kept", float(match[1]) / _NORMAL, math.inf, source),)
