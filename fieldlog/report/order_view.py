"""What to order, as lines and as data: pin size by pin size, with the joints that the parts are for."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import groupby
from types import MappingProxyType

from fieldlog.report.lines import Line, Span, line, wrapped
from fieldlog.wear.order_list import For, OrderLine, When

WORDS: Mapping[When, str] = MappingProxyType(
    {
        When.NOW: "Now",
        When.BEFORE_THE_SEASON: "Before the season",
        When.AFTER_MEASURING: "Ask for it, order once it is measured again",
        When.PIN_FIRST: "Not before the pin's size is settled",
    }
)
_MANUAL = (
    "By the machine's parts list where there is one. Measure a bush's outside, or the bore that it sat in, before you "
    "order it; a hole without a bush has its ways on its own page (f)."
)


def order_lines(found: Sequence[OrderLine], width: int) -> tuple[Line, ...]:
    """Return the list, the most pressing first; a dim sentence when nothing is wanted."""
    if not found:
        return (line(Span("Nothing is to be ordered.", "dim")),)
    lines: list[Line] = []
    for when, group in groupby(found, key=lambda one: one.when):
        lines.append(line(Span(WORDS[when], "strong")))
        for one in group:
            lines += wrapped(_line_text(one), width, "   ")
    return (*lines, *wrapped(_MANUAL, width, "", "dim"))


def _line_text(one: OrderLine) -> str:
    """Return '25 mm: 2 pins, 2 bushes, 4 seals and 2 keepers, for Small loader: Bucket pin, left; ...'."""
    parts = [part.text for part in one.parts]
    size = f"{one.size}: " if one.size else ""
    return f"{size}{', '.join(parts[:-1])} and {parts[-1]}, for {joints_text(one.joints)}"


def joints_text(joints: Iterable[For]) -> str:
    """Return 'Small loader: Bucket pin, left; Bucket pin, right (other side)', each machine named once."""
    said = []
    for machine, group in groupby(joints, key=lambda one: one.machine):
        names = [f"{one.joint} ({one.note})" if one.note else one.joint for one in group]
        said.append(f"{machine}: {'; '.join(names)}")
    return ". ".join(said)


def order_data(found: Iterable[OrderLine]) -> list[Mapping[str, object]]:
    """Return the list as data; a number of 0 is as many as it takes."""
    return [
        {
            "when": WORDS[one.when],
            "pin": one.size,
            "parts": [{"part": part.name, "number": part.number} for part in one.parts],
            "for": [{"machine": j.machine, "joint": j.joint, "note": j.note} for j in one.joints],
        }
        for one in found
    ]
