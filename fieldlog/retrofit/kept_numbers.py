"""The numbers that a kept recommendation rests on, as they were kept, each with the entries that it came from."""

import math
import re

from fieldlog.measure.figure import Figure, FigurePart
from fieldlog.records.days import day_text
from fieldlog.records.recommendation import Basis, Recommendation
from fieldlog.wear.numbers import Number

_MM = re.compile(r"^(-?\d+(?:\.\d+)?) mm$")
_NORMAL = 1.959964  # 95 % of a bell, which the kept half-width is taken as


def kept_numbers(told: Recommendation) -> list[Number]:
    """Return every length that a recommendation rests on; what its doubt was made of then is not kept."""
    return [number for basis in told.basis if (number := _number(basis, told)) is not None]


def _number(basis: Basis, told: Recommendation) -> Number | None:
    match = _MM.match(basis.value)
    if match is None:
        return None
    about = f"{basis.what[:1].upper()}{basis.what[1:]}, as it was on {day_text(told.day)}"
    said = "The offers page, o on the page before, has the same number as it is today, with its parts."
    typed = (f"{basis.what}: {basis.origin}",) if basis.origin else ()
    return Number(
        basis.what, about, Figure(float(match[1]), "mm", _parts(basis)), basis.entries, said=said, typed=typed
    )


def _parts(basis: Basis) -> tuple[FigurePart, ...]:
    match = _MM.match(basis.plus_minus)
    if match is None:
        return ()
    source = f"± {basis.plus_minus} at 95 %, kept in the file without its parts"
    return (FigurePart("as it was kept", float(match[1]) / _NORMAL, math.inf, source),)
