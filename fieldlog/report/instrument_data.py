"""Instruments as data: what each is right within today, how it stands by its checks, what its inside jaws do."""

import datetime
from collections.abc import Mapping

from fieldlog.measure.checks import jaws_on, standing_on
from fieldlog.measure.instruments import limit_part
from fieldlog.records.machine import Instrument, shown_name
from fieldlog.report.number_data import numbers_data
from fieldlog.report.size_data import number, size_data
from fieldlog.standards.calipers import UNCHECKED_KINDS
from fieldlog.wear.instrument_numbers import instrument_numbers


def instrument_data(instrument: Instrument, today: datetime.date) -> Mapping[str, object]:
    """Return one instrument; half-widths in mm, None for what it is not used for."""
    is_length = instrument.kind in UNCHECKED_KINDS
    jaws = jaws_on(instrument, today)
    standings = [] if is_length else [standing_on(instrument, today, use) for use in ("outside", "inside")]
    return {
        "id": instrument.id,
        "name": shown_name(instrument),
        "kind": instrument.kind,
        "outside_within_mm": None if is_length else number(limit_part(instrument, "outside").half_width_mm),
        "inside_within_mm": None if is_length else number(limit_part(instrument, "inside").half_width_mm),
        "metre_within_mm": number(limit_part(instrument, "length", 1000.0).half_width_mm) if is_length else None,
        "remarks": list(dict.fromkeys(standing.remark for standing in standings if standing.remark)),
        "jaws": None
        if jaws is None
        else {
            "offset": size_data(jaws.offset),
            "width": size_data(jaws.width),
            "remark": jaws.remark,
            "complaint": jaws.complaint,
        },
        "numbers": numbers_data(instrument_numbers(instrument, today)),
        "checks": [
            {"date": check.date.isoformat(), "kind": check.kind, "off_by_mm": number(check.deviation_mm)}
            for check in instrument.checks
            if check.readings and not check.struck
        ],
    }
