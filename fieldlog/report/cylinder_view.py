"""What a cylinder does on this tractor, point by point, with its cautions."""

from collections.abc import Sequence

from fieldlog.records.hydraulics import Hydraulics
from fieldlog.report.lines import BLANK, Line, wrapped
from fieldlog.report.offer_view import check_lines
from fieldlog.retrofit.checks import Check

CAUTIONS = (
    "Relieve the pressure before any fitting is opened: load on the ground, engine off, levers cycled. Behind a check "
    "valve it stays pressurised and loaded all the same: take the load off first, crack the fitting slowly.",
    "Look for leaks with cardboard, never a hand; a puncture is an emergency at once. A cylinder is no prop: block "
    "what is up.",
    "No efficiency is taken off these numbers. The tractor's and the cylinder's manuals win.",
)


def cylinder_lines(points: Sequence[Check], hydraulics: Hydraulics, width: int) -> tuple[Line, ...]:
    """Return the page: what the tractor gives, every point, and the cautions."""
    lines: list[Line] = [*wrapped(supply_words(hydraulics), width, "", "dim"), BLANK]
    for point in points:
        lines += check_lines(point, width)
    for text in CAUTIONS:
        lines += [BLANK, *wrapped(text, width, "", "warn")]
    return tuple(lines)


def supply_words(hydraulics: Hydraulics) -> str:
    """Return what is known of the tractor's hydraulics."""
    known = (
        ("relief", hydraulics.relief.typed if hydraulics.relief else ""),
        ("flow", hydraulics.pump_flow.typed if hydraulics.pump_flow else ""),
        ("remotes", str(hydraulics.remotes or "")),
        ("hose inside", hydraulics.hose_inside.typed if hydraulics.hose_inside else ""),
    )
    words = ", ".join(f"{word} {text}" for word, text in known if text)
    return f"The tractor: {words}." if words else "Nothing is written down about the tractor's hydraulics yet: p."
