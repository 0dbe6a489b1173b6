"""What is wrong with instruments and their checks beyond the type of a value; the records are used all the same.

Only a check whose readings cannot belong to its size is passed over by the arithmetic, and the sentence says so.
"""

import datetime
from collections.abc import Collection, Sequence

from fieldlog.quantity.lengths import Length
from fieldlog.records.checks import Check
from fieldlog.records.machine import Instrument
from fieldlog.records.problems import Problem
from fieldlog.standards.instruments import JAWLESS_KINDS, WIDEST_JAWS_MM, is_slip
from fieldlog.store.tables import Placed
from fieldlog.store.values import shown

_A_STEP = 'write it as "0.01 mm"'
_A_LIMIT = 'write the half-width within which it is right, as "0.03 mm", or leave the key out'


def check_instruments(instruments: Sequence[Placed[Instrument]]) -> list[Problem]:
    """Report instruments without a step or with limits and jaws that none has."""
    found: list[Problem | None] = []
    for item in instruments:
        record = item.record
        found.append(_is_nothing(item, "resolution", record.resolution, "always has a smallest step", _A_STEP))
        for key in ("error_limit", "inside_error_limit", "jaw_width_error"):
            found.append(_is_nothing(item, key, getattr(record, key), "is never right to nothing", _A_LIMIT))
        if record.jaw_width is not None and record.jaw_width.mm > WIDEST_JAWS_MM:
            accepted = "write land + gap + land of the inside jaws, outer corner to outer corner, usually 0.5 to 2 mm"
            found.append(item.problem("jaw_width", f"{record.jaw_width.typed} is too wide for inside jaws", accepted))
    return [problem for problem in found if problem]


def _is_nothing(item: Placed[Instrument], key: str, value: Length | None, wrong: str, accepted: str) -> Problem | None:
    if value is None or value.mm > 0:
        return None
    return item.problem(key, f"an instrument {wrong}", accepted)


def check_checks(
    checks: Sequence[Placed[Check]], instruments: Collection[Instrument], today: datetime.date | None
) -> list[Problem]:
    """Report checks of nothing known, without readings, of days to come, and with readings that are a slip."""
    known = {instrument.id: instrument for instrument in instruments}
    return [problem for item in checks if (problem := _wrong(item, known.get(item.record.instrument), known, today))]


def _wrong(
    item: Placed[Check], instrument: Instrument | None, known: Collection[str], today: datetime.date | None
) -> Problem | None:
    record = item.record
    if instrument is None:
        accepted = f"known are: {shown(', '.join(sorted(known)))[1:-1]}" if known else "add the instrument first"
        return item.problem("instrument", f"{shown(record.instrument)} is not known", accepted)
    if today is not None and record.date > today:
        return item.problem("date", f"{record.date} is still to come", "mend the date")
    if not record.readings:
        return item.problem("readings", "there is none", 'write what it showed, as in ["0.01 mm", "0.00 mm"]')
    if record.kind == "zero" and instrument.kind in JAWLESS_KINDS:
        wrong = f"a {instrument.kind} cannot be closed to look at its zero"
        return item.problem("kind", wrong, 'check it with kind = "known bore" or "known outside"; a tape by its class')
    return _wrong_size(item, instrument)


def _wrong_size(item: Placed[Check], instrument: Instrument) -> Problem | None:
    record = item.record
    if record.kind != "zero":
        if record.size is None or record.size.mm <= 0:
            accepted = 'write the size that is known, as in size = "20.000 mm"'
            return item.problem("size", f"a {record.kind} needs one above 0", accepted)
        width = instrument.jaw_width
        if record.kind == "known bore" and width is not None and width.mm >= record.size.mm:
            wrong = f"inside jaws {width.typed} wide do not go into a bore of {record.size.typed}"
            return item.problem("size", wrong, "mend the size, or the instrument's jaw_width")
    if is_slip(record):
        about = "closed jaws read about 0" if record.kind == "zero" else "the readings are not near the known size"
        return item.problem(
            "readings", f"{about}, so this check is not used", "mend the readings, the size or the unit"
        )
    return None
