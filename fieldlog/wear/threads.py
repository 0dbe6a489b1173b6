"""A screw link's thread today: what is in at each end, how far it may be opened, and what contradicts itself.

The thread that stands out is put to a length of the same day, since an open link is another length each time; closed
is always closed, and open to a maker's stop is always the same.

A maker's groove or stop pin decides over 1.0 d and 1.5 d, except that less than 1.0 d at the groove cannot be: it is
measured again, and until then the 1.0 d length holds.
"""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass

from fieldlog.measure.engagement import (
    FLOOR_D,
    TARGET_D,
    Engaged,
    engaged_at,
    exposed_length,
    least_engagement_mm,
    longest_open,
    share_at,
    thread_length,
    weak_end,
)
from fieldlog.measure.lengths import Screwing, screwing, turned_travel, turns_disagree
from fieldlog.quantity.lengths import Length
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.value import Value, total
from fieldlog.records.entries import LinkState, ThreadReading
from fieldlog.records.machine import ENDS, Link, LinkEnd, Thread, Turns
from fieldlog.wear.history import Index
from fieldlog.wear.states import ThreadState

STATES: tuple[LinkState, ...] = ("closed", "open", "as set")


@dataclass(frozen=True, slots=True)
class Seen:
    """What was measured on a link and bears on its thread."""

    lengths: Mapping[LinkState, Value]
    travel: Value | None
    exposed: Mapping[LinkEnd, Mapping[LinkState, Value]]
    turns: Turns | None


def seen_on(link: Link, index: Index, lengths: Mapping[LinkState, Value], travel: Value | None) -> Seen:
    """Return the newest readings of exposed thread at each end, and the newest count of turns.

    Closed is closed, and so is open where a maker's stop ends it; otherwise the thread must have been read on the day
    that the length was taped, since the link was opened differently on another.
    """
    readings = index.threads.get(link.id, [])
    exposed: dict[LinkEnd, dict[LinkState, Value]] = {}
    for end in ENDS:
        for state in STATES:
            newest = _newest([r for r in readings if r.end == end and r.state == state])
            if newest and (_is_always_the_same(link, state) or newest[0].day == _taped_on(link, state, index)):
                exposed.setdefault(end, {})[state] = exposed_length(newest, index.instruments)
    turns = max(index.turns.get(link.id, []), key=lambda entry: (entry.day, entry.round, entry.at), default=None)
    return Seen(lengths, travel, exposed, turns.turns if turns is not None else None)


def _is_always_the_same(link: Link, state: LinkState) -> bool:
    return state == "closed" or (state == "open" and link.open_stop in {"groove", "stop pin"})


def _taped_on(link: Link, state: LinkState, index: Index) -> datetime.date | None:
    days = [reading.day for reading in index.lengths.get(link.id, []) if reading.state == state]
    return max(days, default=None)


def _newest(readings: list[ThreadReading]) -> list[ThreadReading]:
    last = max(((reading.day, reading.round) for reading in readings), default=None)
    return [reading for reading in readings if (reading.day, reading.round) == last]


def thread_state(link: Link, thread: Thread, seen: Seen) -> ThreadState:
    """Return what is known of a link's thread."""
    screw = screwing(thread, link)
    least = least_engagement_mm(thread)
    if isinstance(screw, str):
        return ThreadState(
            thread, None, (), {}, None, None, least, None, None, faults=(said("link.screws_oddly", fault=screw),)
        )
    lengths = {
        end: thread_length(typed, f"{link.id}/{end} thread")
        for end in ENDS
        if (typed := _typed(link, end)) and share_at(screw, end)
    }
    faults = [*_too_long(link, lengths, seen)]
    ends = [] if faults else _engaged(lengths, seen, screw)
    faults += [fault for one in ends for fault in _below_zero(link, one, lengths)]
    faults += [] if faults else _too_much_in(link, ends, seen)
    good = [] if faults else ends
    turned = turned_travel(seen.turns, screw, link.id) if seen.turns is not None else None
    wrong, checked = _cross_checks(seen, screw, turned)
    weak = weak_end(good, _worst_state(good)) if screw.is_two_ended else None
    if weak is not None:
        wrong = (*wrong, said("link.weak_end", link=link, end=weak[0].end, less=weak[1]))
    is_whole = len(good) == sum(1 for end in ENDS if share_at(screw, end))
    return ThreadState(
        thread, screw, tuple(good), lengths,
        _longest(good, seen, screw, FLOOR_D * float(thread.d_mm)) if is_whole else None,
        _longest(good, seen, screw, TARGET_D * float(thread.d_mm)) if is_whole else None,
        least, turned, weak[0].end if weak is not None else None,
        tuple(faults), wrong, checked, None if faults else _needs(link, screw, lengths, seen),
    )  # fmt: skip


def _typed(link: Link, end: LinkEnd) -> Length | None:
    return link.near_thread if end == "near" else link.far_thread


def _engaged(lengths: Mapping[LinkEnd, Value], seen: Seen, screw: Screwing) -> list[Engaged]:
    found = (engaged_at(end, size, seen.exposed.get(end, {}), seen.lengths, screw) for end, size in lengths.items())
    return [one for one in found if one is not None]


def _longest(ends: list[Engaged], seen: Seen, screw: Screwing, least_mm: float) -> Value | None:
    """Return the longest length at which every end has so much in: the first end to come short decides."""
    known = [longest_open(one, seen.lengths, screw, least_mm) for one in ends if one.measured_in in seen.lengths]
    return min(known, key=lambda size: size.value) if ends and len(known) == len(ends) else None


def _worst_state(ends: list[Engaged]) -> LinkState:
    return "open" if all(one.at("open") is not None for one in ends) else ends[0].measured_in if ends else "open"


def _too_long(link: Link, lengths: Mapping[LinkEnd, Value], seen: Seen) -> list[Said]:
    closed = seen.lengths.get("closed")
    return [
        said("link.thread_too_long", link=link, end=end, thread=size, closed=closed)
        for end, size in lengths.items()
        if closed is not None and size.value > closed.value
    ]


def _below_zero(link: Link, one: Engaged, lengths: Mapping[LinkEnd, Value]) -> list[Said]:
    """Name thread lengths and readings that cannot both be right: less than nothing would be in."""
    for state, size in one.by_state.items():
        if size.value + size.plus_minus < 0:
            return [said("link.more_out_than_it_has", link=link, engaged=one, state=state, thread=lengths[one.end])]
    return []


def _too_much_in(link: Link, ends: list[Engaged], seen: Seen) -> list[Said]:
    """Name more thread in the body than the body, or the closed link, is long."""
    sizes = [size for one in ends if (size := one.at("closed")) is not None]
    room = float(link.body.mm) if link.body is not None else None
    if room is None and "closed" in seen.lengths:
        room = seen.lengths["closed"].value
    inside = sum(size.value for size in sizes)
    if room is None or inside <= room + sum(size.plus_minus for size in sizes):
        return []
    return [said("link.more_in_than_room", inside_mm=inside, room_mm=room, is_of_body=link.body is not None)]


def _cross_checks(seen: Seen, screw: Screwing, turned: Value | None) -> tuple[tuple[Said, ...], tuple[Said, ...]]:
    """Return what disagrees and what agrees: turns against the tape, exposed thread against the tape."""
    if seen.travel is None:
        return (), ()
    wrong: list[Said] = []
    good: list[Said] = []
    if seen.turns is not None and turned is not None:
        fault = turns_disagree(seen.travel, turned, seen.turns, screw)
        wrong += [said("link.turns_disagree", fault=fault)] if fault else []
        good += [said("link.turns_agree", turns=seen.turns, turned=turned)] if not fault else []
    grown = [
        (at["open"] - at["closed"], share_at(screw, end))
        for end, at in seen.exposed.items()
        if "open" in at and "closed" in at
    ]
    if grown and abs(sum(share for _, share in grown) - 1) < 1e-9:
        came_out = total(*((out, 1.0) for out, _ in grown))
        gap = came_out - seen.travel
        if abs(gap.value) > gap.plus_minus:
            wrong.append(said("link.thread_out_disagrees", came_out=came_out, taped=seen.travel))
        else:
            good.append(said("link.thread_out_agrees", came_out=came_out, taped=seen.travel))
    return tuple(wrong), tuple(good)


def _needs(link: Link, screw: Screwing, lengths: Mapping[LinkEnd, Value], seen: Seen) -> Said | None:
    for end in ENDS:
        if not share_at(screw, end):
            continue
        if end not in lengths:
            return said("link.needs_thread_length", link=link, end=end)
        if not seen.exposed.get(end):
            return said("link.needs_thread_out", link=link, end=end)
    if not seen.lengths:
        return said("link.needs_taping")
    return None
