"""A zero check typed on the way into a round: the caliper is in hand and closed anyway.

Starting a round, or going on with the one that stands open.
"""

import datetime
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING

from fieldlog.errors import FieldlogError
from fieldlog.measure.flags import meter_flag
from fieldlog.measure.instruments import UNKNOWN_CALIPER, instrument_units
from fieldlog.measure.walk import walking_order, where_it_stands
from fieldlog.pages.instruments import standing_words
from fieldlog.pages.lines import MOST
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import parse_temperature
from fieldlog.records.checks import Check, parse_shown_list
from fieldlog.records.entries import AnyEntry, MachineLog, MeterReading, Round, struck_keys
from fieldlog.records.machine import shown_name
from fieldlog.standards.instruments import JAWLESS_KINDS, UNCHECKED_KINDS, is_slip
from fieldlog.store.amend import add_record
from fieldlog.store.files import LOGBOOK_FILE
from fieldlog.tui.actions.part_forms import check_hours, parse_hours
from fieldlog.tui.base import Desk
from fieldlog.tui.form import Field, FormScreen

if TYPE_CHECKING:
    from fieldlog.app.open_logbook import OpenLogbook

ZERO_HINT = "As it shows, such as 0.00 or -0.01 mm, 0.0000 or -0.0005 in: writes a zero check down. Empty: none today."


def check_zero(text: str) -> None:
    """Check that it can be read."""
    parse_shown_list(text)


def zero_check(session: "OpenLogbook", instrument_id: str, text: str, by: str) -> Check:
    """Return what was typed as a check of today."""
    instrument = session.instruments.get(instrument_id, UNKNOWN_CALIPER)
    return Check(instrument_id, session.today(), "zero", parse_shown_list(text, instrument_units(instrument)), by=by)


def zero_remark(session: "OpenLogbook", instrument_id: str, text: str) -> str:
    """Return what is odd about a zero typed, empty when nothing is."""
    instrument = session.instruments.get(instrument_id, UNKNOWN_CALIPER)
    if instrument.kind in JAWLESS_KINDS:
        return f"A {instrument.kind} cannot be closed to look at its zero; leave that empty."
    if is_slip(zero_check(session, instrument_id, text, "")):
        return "A closed caliper shows about 0; a check that far off is not used."
    return ""


def write_zero(session: "OpenLogbook", instrument_id: str, text: str, by: str) -> None:
    """Write the check down and read the instruments again."""
    add_record(session.folder, LOGBOOK_FILE, "checks", zero_check(session, instrument_id, text, by))
    session.reread()


BEFORE_YOU_START = (
    "Park level, lower everything, engine off, key out, wheels chocked; block whatever stays up. The machine's manual "
    "comes first. Close the caliper and look at its zero. Clean the holes, take burrs off."
)
_SWEEPS = (("2", "twice round"), ("1", "once round"), ("3", "three times round"))
_FRESH = datetime.timedelta(days=2)


def start_round(app: Desk, machine_id: str, stop: tuple[str, str] | None = None) -> None:
    """Go on with today's round, or ask what a new one needs and start it; walk it, from a stop when one is given."""
    session = app.session
    log = session.log(machine_id)
    if not walking_order(log.machine):
        app.notify_line("Nothing to measure yet: a adds a joint and its hole.")
        return
    if session.book.read_only:
        app.notify_line("This logbook was made by a newer program; nothing is written to it.")
        return
    open_heads = _open_heads(log, session.today())
    todays = [head for head in open_heads if head.date == session.today() and head.who == session.last_person()]
    if todays:
        _walk(app, machine_id, todays[0], 2, stop)
        return
    form = FormScreen(
        f"Round on {shown_name(log.machine)}",
        _fields(session, log, open_heads),
        BEFORE_YOU_START,
        _insist(session, log),
    )
    app.push_screen(form, lambda values: _begin(app, machine_id, values, stop))


def _open_heads(log: MachineLog, today: datetime.date) -> list[Round]:
    """Return the rounds of the last two days that are not walked to the end, newest first."""
    fresh = [head for head in log.rounds if datetime.timedelta(0) <= today - head.date <= _FRESH]
    return sorted((head for head in fresh if _is_open(log, head)), key=lambda head: head.date, reverse=True)


def _is_open(log: MachineLog, head: Round) -> bool:
    entries = tuple(entry for entry in log.entries if entry.round == head.id)
    struck = struck_keys(entries)
    standing: tuple[AnyEntry, ...] = tuple(entry for entry in entries if entry.key not in struck)
    stops = walking_order(log.machine)
    last = where_it_stands(stops, standing)
    return head.date == max(h.date for h in log.rounds) and last < len(stops)


def _fields(session: "OpenLogbook", log: MachineLog, open_heads: list[Round]) -> tuple[Field, ...]:
    logbook = session.logbook
    people = tuple((person.id, shown_name(person)) for person in logbook.people)
    calipers = _instruments(session, tapes=False)
    tapes = _instruments(session, tapes=True)
    last = log.rounds[-1] if log.rounds else None
    fields = []
    if open_heads:
        going_on = ((head.id, f"go on with {day_text(head.date)}, {head.who}") for head in open_heads)
        choices = (("", "a new round, of today"), *going_on)
        fields.append(Field("go_on", "Round", open_heads[0].id, choices=choices))
    fields.append(Field("who", "Who measures", session.last_person(), choices=people, required=True))
    if calipers:
        fields.append(Field("instrument", "Caliper", last.instrument if last else "", choices=calipers))
    if tapes:
        fields.append(Field("tape", "Tape", last.tape if last else "", choices=tapes))
    zero = Field("zero", "Caliper closed shows", "", ZERO_HINT, check=check_zero) if calipers else None
    if log.machine.meter == "hours":
        hint = _last_hours_text(log) or "What the hour meter shows, such as 412.5. Empty if it cannot be read."
        fields.append(Field("hours", "Hour meter", "", hint, check=check_hours))
    if log.machine.links:
        hint = "Such as 8 degC or 46 degF; a tape is right at 20 degC. Empty: within 25 degC of that."
        fields.append(Field("temperature", "How warm it is", "", hint, check=check_temperature))
    fields += [zero] if zero is not None else []
    fields.append(Field("sweeps", "Each hole", "2", "Four lines at the near face, then two at the far face.", _SWEEPS))
    return tuple(fields)


def _instruments(session: "OpenLogbook", *, tapes: bool) -> tuple[tuple[str, str], ...]:
    """Return what can be measured with; one that is not checked says so where it is chosen."""
    wanted = [i for i in session.logbook.instruments if (i.kind in UNCHECKED_KINDS) is tapes]
    standings = [standing_words(instrument, session.today()) for instrument in wanted]
    return tuple(
        (instrument.id, f"{shown_name(instrument)}  {words}" if words.startswith(MOST) else shown_name(instrument))
        for instrument, words in zip(wanted, standings, strict=True)
    )


def check_temperature(text: str) -> None:
    """Check that a temperature can be read."""
    parse_temperature(text)


def _last_meter(log: MachineLog) -> MeterReading | None:
    return max(log.standing(MeterReading), key=lambda entry: (entry.day, entry.at), default=None)


def _last_hours_text(log: MachineLog) -> str:
    last = _last_meter(log)
    return f"Last time, {day_text(last.day)}: {last.hours} h." if last is not None else ""


def _insist(session: "OpenLogbook", log: MachineLog) -> Callable[[Mapping[str, str]], str]:
    last = _last_meter(log)

    def remark(values: Mapping[str, str]) -> str:
        newest = max((head.date for head in log.rounds), default=session.today())
        if newest > session.today():
            return (
                f"This computer says {day_text(session.today())}, but the newest round is of {day_text(newest)}: "
                "its clock may be wrong."
            )
        zero = values.get("zero", "")
        wrong = zero_remark(session, values["instrument"], zero) if zero else ""
        if wrong:
            return wrong
        if not values.get("hours") or last is None:
            return ""
        flag = meter_flag(parse_hours(values["hours"]), last.hours, last.day, session.today())
        return flag.text if flag is not None else ""

    return remark


def _begin(app: Desk, machine_id: str, values: object, stop: tuple[str, str] | None) -> None:
    if not isinstance(values, dict):
        return
    session = app.session
    going_on = next((head for head in session.log(machine_id).rounds if head.id == values.get("go_on")), None)
    day, who = session.today(), str(values.get("who", ""))
    warmth = parse_temperature(values["temperature"]) if values.get("temperature") else None
    new = Round(f"{day.isoformat()}-{who}", day, who, values.get("instrument", ""), values.get("tape", ""), warmth)
    head = going_on or new
    try:
        if values.get("zero"):
            write_zero(session, head.instrument, values["zero"], who)
        if values.get("hours"):
            at, hours = session.time_of_day(), parse_hours(values["hours"])
            entry = MeterReading(at=at, round=head.id, day=head.date, who=head.who, hours=hours)
            session.write(machine_id, session.open_round(machine_id, head), entry)
    except FieldlogError as error:
        app.refuse(error)
        return
    _walk(app, machine_id, head, int(values.get("sweeps", "2")), stop)


def _walk(app: Desk, machine_id: str, head: Round, sweeps: int, stop: tuple[str, str] | None) -> None:
    from fieldlog.app.round_work import RoundWork
    from fieldlog.tui.screens.round import RoundScreen

    work = RoundWork(app.session, machine_id, head, sweeps)
    index = work.find(stop) if stop is not None else None
    if index is not None:
        work.go_to(index)
    app.push_screen(RoundScreen(work))
