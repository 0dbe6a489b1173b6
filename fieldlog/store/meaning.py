"""Levers of a joint that cannot be, or that lack something; nothing is reckoned from them then.

What the types cannot tell: names that nobody knows, times used twice, dates and hours that cannot be.

What is wrong with instruments and their checks beyond the type of a value; the records are used all the same.
"""

import datetime
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from fieldlog.quantity.lengths import Length
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.text import shortened
from fieldlog.records.checks import Check
from fieldlog.records.entries import AnyEntry, Event, Keep, MeterReading, Strike, struck_keys
from fieldlog.records.machine import Hole, Instrument, Joint, Limit, Link, Logbook, Machine, Person
from fieldlog.records.problems import Problem
from fieldlog.standards.instruments import JAWLESS_KINDS, WIDEST_JAWS_MM, is_slip
from fieldlog.store.blocks import RoundRead
from fieldlog.store.files import ACCEPTED_NAME, is_safe_name
from fieldlog.store.tables import Placed
from fieldlog.store.values import shown

LONGEST_LEVER_MM = 5_000
_WAYS_WITH_LEVERS = frozenset({"turns", "side to side", "top link"})


def lever_problems(item: Placed[Joint]) -> Iterable[Problem]:
    """Yield what is wrong with a joint's levers."""
    joint = item.record
    for key, length in (("lever_arm", joint.lever_arm), ("tool_radius", joint.tool_radius)):
        if length is None:
            continue
        if not 0 < length.mm <= LONGEST_LEVER_MM:
            yield item.problem(key, _cannot_be(length), said("accepted.lever_size"))
        elif joint.slack_way is None:
            yield item.problem(key, said("problem.no_slack_way"), said("accepted.slack_way"))
    if joint.slack_way not in _WAYS_WITH_LEVERS:
        return
    missing = said("problem.missing_for_way", way=joint.slack_way)
    if joint.lever_arm is None:
        yield item.problem("lever_arm", missing, said("accepted.lever_arm", way=joint.slack_way))
    if joint.tool_radius is None:
        yield item.problem("tool_radius", missing, said("accepted.tool_radius"))


def _cannot_be(length: Length) -> Said:
    return said("problem.cannot_be_right", value=shortened(length.typed))


EARLIEST = datetime.date(2000, 1, 1)


@dataclass(frozen=True, slots=True)
class Known:
    """The ids that the records of one machine may refer to; None where its file cannot be read, which says enough."""

    people: frozenset[str]
    instruments: frozenset[str]
    joint: frozenset[str] | None
    hole: frozenset[str] | None
    link: frozenset[str] | None

    @property
    def of_keys(self) -> tuple[tuple[str, frozenset[str] | None], ...]:
        """The keys of an entry that name something on the machine, each with the ids it may name."""
        holes = (("hole", self.hole), ("near_hole", self.hole), ("far_hole", self.hole))
        return (*holes, ("joint", self.joint), ("link", self.link))


def known_ids(machine: Machine, logbook: Logbook, *, is_read: bool = True) -> Known:
    """Return the ids that a machine and its logbook define."""
    return Known(
        frozenset(person.id for person in logbook.people),
        frozenset(instrument.id for instrument in logbook.instruments),
        frozenset(joint.id for joint in machine.joints) if is_read else None,
        frozenset(hole.id for hole in machine.holes) if is_read else None,
        frozenset(link.id for link in machine.links) if is_read else None,
    )


def check_people(people: Sequence[Placed[Person]]) -> list[Problem]:
    """Report people whose id cannot stand in the name of a round file."""
    return [
        item.problem(
            "id",
            said("problem.no_file_name", value=shown(item.record.id), accepted=ACCEPTED_NAME),
            said("accepted.letters"),
        )
        for item in people
        if not is_safe_name(item.record.id)
    ]


def check_machine(
    joints: Sequence[Placed[Joint]],
    holes: Sequence[Placed[Hole]],
    links: Sequence[Placed[Link]],
    limits: Sequence[Placed[Limit]],
    known: Known,
) -> list[Problem]:
    """Report joints, holes, links and limits that refer to what is not there."""
    found: list[Problem | None] = []
    found += [_unknown(item, "twin", item.record.twin, known.joint) for item in joints]
    found += [problem for item in joints for problem in lever_problems(item)]
    found += [_unknown(item, "joint", item.record.joint, known.joint) for item in holes]
    found += [_unknown(item, "near_hole", item.record.near_hole, known.hole) for item in links]
    found += [_unknown(item, "far_hole", item.record.far_hole, known.hole) for item in links]
    found += [_same_hand(item) for item in links]
    found += [_unknown(item, "joint", item.record.joint, known.joint) for item in limits]
    found += [_unknown(item, "hole", item.record.hole, known.hole) for item in limits]
    return [problem for problem in found if problem]


def _same_hand(item: Placed[Link]) -> Problem | None:
    near, far = item.record.near_hand, item.record.far_hand
    if near is None or near != far:
        return None
    wrong = said("problem.no_thread") if near == "none" else said("problem.same_hand", hand=near)
    return item.problem("far_hand", wrong, said("accepted.hands"))


def check_round(read: RoundRead, known: Known, today: datetime.date | None) -> list[Problem]:
    """Report a round's head and entries that refer to what is not there, and times used twice."""
    head = read.head
    if head is None:
        return []
    top = Placed(head, read.document, ("", 0))
    found = [
        _unknown(top, "who", head.who, known.people),
        _unknown(top, "instrument", head.instrument, known.instruments),
        _unknown(top, "tape", head.tape, known.instruments),
        _bad_date(top, head.date, today),
    ]
    fallbacks = {head.instrument, head.tape}
    seen: set[str] = set()
    for item in read.entries:
        found += _entry_problems(item, known, fallbacks)
        if item.record.at in seen:
            found.append(item.problem("at", said("problem.twice", at=item.record.at), said("accepted.other_time")))
        seen.add(item.record.at)
    return [problem for problem in found if problem]


def _entry_problems(item: Placed[AnyEntry], known: Known, fallbacks: Collection[str]) -> list[Problem | None]:
    record = item.record
    found: list[Problem | None] = []
    for key, ids in known.of_keys:
        name = getattr(record, key, "")
        if name and ids is not None and name not in ids:
            found.append(_unknown(item, key, name, ids))
    if isinstance(record, Event) and record.deed == "put off" and not record.text.strip():
        found.append(item.problem("text", said("problem.missing"), said("accepted.why_put_off")))
    instrument = getattr(record, "instrument", "")
    if instrument and instrument not in known.instruments and instrument not in fallbacks:
        found.append(_unknown(item, "instrument", instrument, known.instruments))
    return found


def check_strikes(entries: Sequence[Placed[AnyEntry]]) -> list[Problem]:
    """Report strikes and keeps of entries that are not there."""
    keys = {item.record.key for item in entries}
    return [
        item.problem("of", said("problem.no_entry", value=shown(item.record.of)), said("accepted.entry_time"))
        for item in entries
        if isinstance(item.record, Strike | Keep) and item.record.target not in keys
    ]


def check_hours(entries: Sequence[Placed[AnyEntry]]) -> list[Problem]:
    """Report hours that run backwards though nobody replaced the meter."""
    struck = struck_keys(tuple(item.record for item in entries))
    last: tuple[Decimal, datetime.date] | None = None
    found: list[Problem] = []
    for item in sorted(entries, key=lambda item: (item.record.day, item.record.round, item.record.at)):
        record = item.record
        if record.key in struck:
            continue
        if isinstance(record, Event) and record.deed == "meter replaced":
            last = None if record.hours is None else (record.hours, record.day)
        elif isinstance(record, MeterReading):
            if last and record.hours < last[0]:
                wrong = said("problem.hours_back", hours=str(record.hours), before=str(last[0]), day=str(last[1]))
                found.append(item.problem("hours", wrong, said("accepted.new_meter")))
            last = record.hours, record.day
    return found


def _bad_date(top: Placed[object], date: datetime.date, today: datetime.date | None) -> Problem | None:
    if date < EARLIEST:
        wrong = said("problem.before_year", date=str(date), year=EARLIEST.year)
        return top.problem("date", wrong, said("accepted.mend_date_and_name"))
    if today is not None and date > today:
        return top.problem("date", said("problem.to_come", date=str(date)), said("accepted.mend_date_and_name"))
    return None


def _unknown(item: Placed[object], key: str, name: str, known: Collection[str] | None) -> Problem | None:
    """Return a problem when a name is given that nothing has."""
    if not name or known is None or name in known:
        return None
    return item.problem(key, said("problem.unknown", value=shown(name)), known_names(known))


def known_names(known: Collection[str], otherwise: Said | None = None) -> Said:
    """Return which names are known, of many the first few."""
    names = tuple(shortened(name) for name in sorted(known)[:_MOST_NAMES])
    return said("accepted.known", names=names) if names else otherwise or said("accepted.none_of_kind")


_MOST_NAMES = 9  # one more than are told, so that it can be told that there are more


def check_instruments(instruments: Sequence[Placed[Instrument]]) -> list[Problem]:
    """Report instruments without a step or with limits and jaws that none has."""
    found: list[Problem | None] = []
    for item in instruments:
        record = item.record
        found.append(_is_nothing(item, "resolution", record.resolution, said("problem.no_step"), said("accepted.step")))
        for key in ("error_limit", "inside_error_limit", "jaw_width_error"):
            limit, accepted = getattr(record, key), said("accepted.error_limit")
            found.append(_is_nothing(item, key, limit, said("problem.never_exact"), accepted))
        if record.jaw_width is not None and record.jaw_width.mm > WIDEST_JAWS_MM:
            wrong = said("problem.wide_jaws", width=shortened(record.jaw_width.typed))
            found.append(item.problem("jaw_width", wrong, said("accepted.jaws")))
    return [problem for problem in found if problem]


def _is_nothing(
    item: Placed[Instrument], key: str, value: Length | None, wrong: Said, accepted: Said
) -> Problem | None:
    return None if value is None or value.mm > 0 else item.problem(key, wrong, accepted)


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
        accepted = known_names(known, said("accepted.instrument_first"))
        return item.problem("instrument", said("problem.unknown", value=shown(record.instrument)), accepted)
    if today is not None and record.date > today:
        return item.problem("date", said("problem.to_come", date=str(record.date)), said("accepted.mend_date"))
    if not record.readings:
        return item.problem("readings", said("problem.no_readings"), said("accepted.what_it_showed"))
    if record.kind == "zero" and instrument.kind in JAWLESS_KINDS:
        return item.problem("kind", said("problem.cannot_close", kind=instrument.kind), said("accepted.check_open"))
    return _wrong_size(item, instrument)


def _wrong_size(item: Placed[Check], instrument: Instrument) -> Problem | None:
    record = item.record
    if record.kind != "zero":
        if record.size is None or record.size.mm <= 0:
            return item.problem("size", said("problem.needs_size", kind=record.kind), said("accepted.known_size"))
        width = instrument.jaw_width
        if record.kind == "known bore" and width is not None and width.mm >= record.size.mm:
            sizes = shortened(width.typed), shortened(record.size.typed)
            wrong = said("problem.jaws_too_wide", width=sizes[0], size=sizes[1])
            return item.problem("size", wrong, said("accepted.mend_jaws"))
    if is_slip(record):
        wrong = said("problem.zero_far_off") if record.kind == "zero" else said("problem.readings_far_off")
        return item.problem("readings", wrong, said("accepted.mend_check"))
    return None
