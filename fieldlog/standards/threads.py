"""Which threads there are, and how people write them: ISO metric, unified inch, trapezoidal.

Pitches of ISO 261 and ISO 724, UNC and UNF of ASME B1.1, from memory; the sizes used in tests are checked against
public thread tables.
"""

import re
from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType

from fieldlog.errors import QuantityError
from fieldlog.records.quantities import MM_PER_INCH
from fieldlog.records.threads import Thread

ACCEPTED_THREAD = "write a thread as M24x3, M24, 3/4-10 UNC, 1 1/8-7 or Tr 30x6 (Tr 40x14 P7 with two starts)"

# ISO 261:1998 table 2: nominal diameter, coarse pitch, fine pitches, in mm (from memory)
METRIC: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "8": ("1.25", "1", "0.75"),
        "10": ("1.5", "1.25", "1", "0.75"),
        "12": ("1.75", "1.5", "1.25", "1"),
        "14": ("2", "1.5", "1.25", "1"),
        "16": ("2", "1.5", "1"),
        "18": ("2.5", "2", "1.5", "1"),
        "20": ("2.5", "2", "1.5", "1"),
        "22": ("2.5", "2", "1.5", "1"),
        "24": ("3", "2", "1.5", "1"),
        "27": ("3", "2", "1.5", "1"),
        "30": ("3.5", "3", "2", "1.5", "1"),
        "33": ("3.5", "3", "2", "1.5"),
        "36": ("4", "3", "2", "1.5"),
        "39": ("4", "3", "2", "1.5"),
        "42": ("4.5", "4", "3", "2", "1.5"),
        "45": ("4.5", "4", "3", "2", "1.5"),
        "48": ("5", "4", "3", "2", "1.5"),
        "52": ("5", "4", "3", "2", "1.5"),
        "56": ("5.5", "4", "3", "2", "1.5"),
        "60": ("5.5", "4", "3", "2", "1.5"),
        "64": ("6", "4", "3", "2", "1.5"),
    }
)
# ASME B1.1: size in inches, threads an inch, UNC and UNF (from memory)
UNIFIED: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "1/4": ("20", "28"),
        "5/16": ("18", "24"),
        "3/8": ("16", "24"),
        "7/16": ("14", "20"),
        "1/2": ("13", "20"),
        "9/16": ("12", "18"),
        "5/8": ("11", "18"),
        "3/4": ("10", "16"),
        "7/8": ("9", "14"),
        "1": ("8", "12"),
        "1 1/8": ("7", "12"),
        "1 1/4": ("7", "12"),
        "1 3/8": ("6", "12"),
        "1 1/2": ("6", "12"),
        "1 3/4": ("5", ""),
        "2": ("4.5", ""),
    }
)
# ISO 2902: pitches of trapezoidal threads in mm (from memory)
TRAPEZOIDAL_PITCHES = ("1.5", "2", "3", "4", "5", "6", "7", "8", "9", "10", "12")
_MOST_MM = 100

_METRIC = re.compile(r"^m\s*(?P<d>\d{1,3}(?:\.\d)?)(?:\s*x\s*(?P<p>\d{1,2}(?:\.\d{1,3})?))?(?P<special>\s+special)?$")
_TRAPEZOIDAL = re.compile(
    r"^tr\s*(?P<d>\d{1,3})\s*x\s*(?P<p>\d{1,2}(?:\.\d)?)(?:\s*\(?\s*p\s*(?P<pitch>\d{1,2}(?:\.\d)?)\s*\)?)?$"
)
_INCH = re.compile(
    r"^(?P<d>\d{1,2}|(?:\d{1,2}(?:\s+|-))?\d{1,2}/\d{1,2})(?:\s*(?:in|\"))?\s*-\s*(?P<n>\d{1,2}(?:\.\d)?)"
    r"(?:\s*(?P<series>unc|unf|uns|un))?$"
)
_NAMED = re.compile(r"^(?P<d>\d{1,2}|(?:\d{1,2}(?:\s+|-))?\d{1,2}/\d{1,2})(?:\s*(?:in|\"))?\s+(?P<series>unc|unf)$")


def parse_thread(text: str) -> Thread:
    """Read a thread's designation.

    Raises:
        QuantityError: it is none, or no such thread is made; the message says what is accepted.
    """
    typed = " ".join(text.replace("×", "x").replace("*", "x").replace(",", ".").split())
    plain = typed.lower()
    if plain.endswith(" lh"):
        raise QuantityError(f'"{typed}": leave LH out; the hand is written for each end of the link.')
    for pattern, build in ((_METRIC, _metric), (_TRAPEZOIDAL, _trapezoidal), (_INCH, _inch), (_NAMED, _named)):
        match = pattern.match(plain)
        if match is not None:
            return build(typed, match)
    raise QuantityError(f'"{typed[:40]}" is no thread known here; {ACCEPTED_THREAD}.')


def _metric(typed: str, match: re.Match[str]) -> Thread:
    size, pitch = match["d"], match["p"]
    listed = METRIC.get(size)
    if match["special"]:
        if pitch is None:
            raise QuantityError(f'"{typed}": a special thread needs its pitch, as in M24x2.5 special.')
        return _checked(typed, "metric", Decimal(size), Decimal(pitch), Decimal(pitch), "special")
    if listed is None:
        raise QuantityError(f'"{typed}": no M{size} is listed from M8 to M64; measure the rod over its crests again.')
    found = pitch or listed[0]
    if Decimal(found) not in map(Decimal, listed):
        known = f"{', '.join(listed[:-1])} or {listed[-1]}"
        raise QuantityError(
            f'"{typed}": M{size} comes with a pitch of {known} mm; measure over ten crests and divide by ten. '
            f"If it is truly otherwise, write M{size}x{pitch} special."
        )
    series = "coarse" if Decimal(found) == Decimal(listed[0]) else "fine"
    return _checked(typed, "metric", Decimal(size), Decimal(found), Decimal(found), series)


def _trapezoidal(typed: str, match: re.Match[str]) -> Thread:
    lead = Decimal(match["p"])
    pitch = Decimal(match["pitch"]) if match["pitch"] else lead
    if pitch not in map(Decimal, TRAPEZOIDAL_PITCHES) or lead % pitch:
        raise QuantityError(
            f'"{typed}": a trapezoidal thread has a pitch of {", ".join(TRAPEZOIDAL_PITCHES)} mm, '
            "and with several starts a lead that is a multiple of it, as in Tr 40x14 P7."
        )
    return _checked(typed, "trapezoidal", Decimal(match["d"]), pitch, lead, "")


def _inch(typed: str, match: re.Match[str]) -> Thread:
    size, count, series = _size_key(match["d"]), match["n"], (match["series"] or "").upper()
    coarse, fine = UNIFIED.get(size, ("", ""))
    usual = {Decimal(n): name for n, name in ((fine, "UNF"), (coarse, "UNC")) if n}
    named = usual.get(Decimal(count))
    if series in {"UNS", "UN"}:
        return _of_inches(typed, size, count, series)
    if named is None or series not in {"", named}:
        listed = " or ".join(f"{size}-{n} {name}" for n, name in ((coarse, "UNC"), (fine, "UNF")) if n)
        first = f"the usual threads of that size are {listed}; " if listed else ""
        raise QuantityError(
            f'"{typed}": {first}count the threads over one inch. If it is truly otherwise, write {size}-{count} UNS.'
        )
    return _of_inches(typed, size, count, named)


def _named(typed: str, match: re.Match[str]) -> Thread:
    size, series = _size_key(match["d"]), match["series"].upper()
    coarse, fine = UNIFIED.get(size, ("", ""))
    count = coarse if series == "UNC" else fine
    if not count:
        raise QuantityError(f'"{typed}": no {series} of that size is listed; write the threads an inch, as in 3/4-10.')
    return _of_inches(typed, size, count, series)


def _size_key(text: str) -> str:
    return " ".join(text.replace("-", " ").split())


def _of_inches(typed: str, size: str, count: str, series: str) -> Thread:
    inches = Decimal(0)
    for part in size.split():
        top, _, bottom = part.partition("/")
        if bottom and not int(bottom):
            raise QuantityError(f'"{typed}" is no thread; {ACCEPTED_THREAD}.')
        inches += Decimal(top) / Decimal(bottom or 1)
    if not Decimal(count):
        raise QuantityError(f'"{typed}" has no threads an inch; {ACCEPTED_THREAD}.')
    pitch_mm = MM_PER_INCH / Decimal(count)
    return _checked(typed, "inch", inches * MM_PER_INCH, pitch_mm, pitch_mm, series)


def _checked(typed: str, form: str, d_mm: Decimal, pitch_mm: Decimal, lead_mm: Decimal, series: str) -> Thread:
    if not 0 < pitch_mm <= d_mm / 2 or not d_mm <= _MOST_MM:
        raise QuantityError(f'"{typed}": the pitch does not go with the diameter; {ACCEPTED_THREAD}.')
    return Thread(typed, form, d_mm, pitch_mm, lead_mm, series)  # type: ignore[arg-type] # one of the three forms
