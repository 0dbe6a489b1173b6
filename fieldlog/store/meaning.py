"""Levers of a joint that cannot be, or that lack something; nothing is reckoned from them then.

What the types cannot tell: names that nobody knows, times used twice, dates and hours that cannot be.

What is wrong with instruments and their checks beyond the type of a value; the records are used all the same.
"""

import datetime
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from fieldlog.quantity.lengths import Length
from fieldlog.records.checks import Check
from fieldlog.records.entries import AnyEntry, Event, Keep, MeterReading, Strike, struck_keys
from fieldlog.records.machine import Hole, Instrument, Joint, Limit, Link, Logbook, Machine, Person
from fieldlog.records.problems import Problem
from fieldlog.standards.instruments import JAWLESS_KINDS, WIDEST_JAWS_MM, is_slip
from fieldlog.store.blocks import RoundRead
from fieldlog.store.files import name_fault
from fieldlog.store.tables import Placed
from fieldlog.store.values import shown

LONGEST_LEVER_MM = 5_000
_ARMS = {
    "turns": 'the lever arm of the pin about the hinge, as in lever_arm = "180 mm"',
    "side to side": 'how far the bushes are apart, as in lever_arm = "180 mm"',
    "top link": 'how far the top link is above the lower pins, as in lever_arm = "460 mm"',
}
_EDGE = 'how far the tool\'s edge is from the hinge or the pins, as in tool_radius = "650 mm"'
ACCEPTED_LEVER = "a lever is above 0 and at most 5 m"
ACCEPTED_WAY = 'write slack_way = "turns", "in line", "side to side" or "top link"'


def lever_problems(item: Placed[Joint]) -> Iterable[Problem]:
    """Yield what is wrong with a joint's levers."""
    joint = item.record
    for key, length in (("lever_arm", joint.lever_arm), ("tool_radius", joint.tool_radius)):
        if length is None:
            continue
        if not 0 < length.mm <= LONGEST_LEVER_MM:
            yield item.problem(key, f"{length.typed} cannot be right", ACCEPTED_LEVER)
        elif joint.slack_way is None:
            yield item.problem(key, "nothing says which way the slack goes, so it is not used", ACCEPTED_WAY)
    if joint.slack_way not in _ARMS:
        return
    if joint.lever_arm is None:
        yield item.problem(
            "lever_arm", f'is missing for slack_way = "{joint.slack_way}"', f"write {_ARMS[joint.slack_way]}"
        )
    if joint.tool_radius is None:
        yield item.problem("tool_radius", f'is missing for slack_way = "{joint.slack_way}"', f"write {_EDGE}")


EARLIEST = datetime.date(2000, 1, 1)
_LISTED = 8
_NEW_METER = 'strike out the wrong one, or add an [[event]] with deed = "meter replaced"'


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
        item.problem("id", f"{shown(item.record.id)} {fault}", "use letters, digits and dashes")
        for item in people
        if (fault := name_fault(item.record.id))
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
    wrong = f"both ends are {near}-handed; turning the body would not change the length"
    if near == "none":
        wrong = "neither end has a thread, so it is no screw link"
    accepted = 'write near_hand = "right" and far_hand = "left", or "none" for an end without thread'
    return item.problem("far_hand", wrong, accepted)


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
            accepted = "make it different, as in 09:34:12.2"
            found.append(item.problem("at", f"{item.record.at} stands twice in this file", accepted))
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
        found.append(item.problem("text", "is missing", 'write why it is put off, as in text = "bush on order"'))
    instrument = getattr(record, "instrument", "")
    if instrument and instrument not in known.instruments and instrument not in fallbacks:
        found.append(_unknown(item, "instrument", instrument, known.instruments))
    return found


def check_strikes(entries: Sequence[Placed[AnyEntry]]) -> list[Problem]:
    """Report strikes and keeps of entries that are not there."""
    keys = {item.record.key for item in entries}
    return [
        item.problem("of", f"there is no entry {shown(item.record.of)}", "write the time of the entry meant")
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
                wrong = f"{record.hours} h, but the meter showed {last[0]} h already on {last[1]}"
                found.append(item.problem("hours", wrong, _NEW_METER))
            last = record.hours, record.day
    return found


def _bad_date(top: Placed[object], date: datetime.date, today: datetime.date | None) -> Problem | None:
    if date < EARLIEST:
        return top.problem("date", f"{date} is before {EARLIEST.year}", "mend the date here and in the file's name")
    if today is not None and date > today:
        return top.problem("date", f"{date} is still to come", "mend the date here and in the file's name")
    return None


def _unknown(item: Placed[object], key: str, name: str, known: Collection[str] | None) -> Problem | None:
    """Return a problem when a name is given that nothing has."""
    if not name or known is None or name in known:
        return None
    listed = ", ".join(sorted(known)[:_LISTED]) + (", ..." if len(known) > _LISTED else "")
    accepted = f"known are: {shown_names(listed)}" if known else "nothing of this kind is in the logbook yet"
    return item.problem(key, f"{shown(name)} is not known", accepted)


def shown_names(listed: str) -> str:
    """Return a list of ids that is harmless to print."""
    return shown(listed)[1:-1]


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
