"""A zero check typed on the way into a round: the caliper is in hand and closed anyway."""

from typing import TYPE_CHECKING

from fieldlog.measure.instruments import UNKNOWN_CALIPER, instrument_units
from fieldlog.records.checks import Check, parse_shown_list
from fieldlog.standards.calipers import JAWLESS_KINDS, is_slip
from fieldlog.store.amend import add_record
from fieldlog.store.names import LOGBOOK_FILE

if TYPE_CHECKING:
    from fieldlog.tui.session import Session

ZERO_HINT = "As it shows, such as 0.00 or -0.01 mm, 0.0000 or -0.0005 in: writes a zero check down. Empty: none today."


def check_zero(text: str) -> None:
    """Check that it can be read."""
    parse_shown_list(text)


def zero_check(session: "Session", instrument_id: str, text: str, by: str) -> Check:
    """Return what was typed as a check of today."""
    instrument = session.instruments.get(instrument_id, UNKNOWN_CALIPER)
    return Check(instrument_id, session.today(), "zero", parse_shown_list(text, instrument_units(instrument)), by=by)


def zero_remark(session: "Session", instrument_id: str, text: str) -> str:
    """Return what is odd about a zero typed, empty when nothing is."""
    instrument = session.instruments.get(instrument_id, UNKNOWN_CALIPER)
    if instrument.kind in JAWLESS_KINDS:
        return f"A {instrument.kind} cannot be closed to look at its zero; leave that empty."
    if is_slip(zero_check(session, instrument_id, text, "")):
        return "A closed caliper shows about 0; a check that far off is not used."
    return ""


def write_zero(session: "Session", instrument_id: str, text: str, by: str) -> None:
    """Write the check down and read the instruments again."""
    add_record(session.folder, LOGBOOK_FILE, "checks", zero_check(session, instrument_id, text, by))
    session.reread()
