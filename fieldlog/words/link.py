"""Links: their lengths, how they screw, how far they may open, what is odd about them."""

import datetime
from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.measure.engagement import FLOOR_D, TARGET_D, Engaged
from fieldlog.quantity.rounding import both_text, change_text, mm_text
from fieldlog.quantity.text import day_text
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.entries import LinkState
from fieldlog.records.machine import Link, LinkEnd, LinkPosition, OpenStop, Turns

_ENDS: Mapping[LinkEnd, str] = MappingProxyType({"near": "tractor end", "far": "other end"})
_ENDS_OF: Mapping[LinkPosition, Mapping[LinkEnd, str]] = MappingProxyType(
    {
        "lift rod": MappingProxyType({"near": "upper end", "far": "lower end"}),
        "top link": MappingProxyType({"near": "tractor end", "far": "implement end"}),
    }
)
_ROD_OUT = "measure the thread with the rod out, and what stands out of the body again"


def end_text(link: Link, end: LinkEnd) -> str:
    """Return what an end of a link is called: a lift rod has an upper and a lower one."""
    return _ENDS_OF.get(link.position, _ENDS)[end]


# Lengths.


def of_state(units: Units, *, state: LinkState, remark: str) -> str:
    """What is odd about a length."""
    return f"{state.capitalize()}: {remark}"


def state_needs(units: Units, *, state: LinkState, needs: str) -> str:
    """What a length is missing."""
    return f"{state.capitalize()}: {needs}."


def mixed_up(units: Units) -> str:
    """Open shorter than closed."""
    return "It opens shorter than it closes: closed and open are mixed up, or an edge is wrong; tape both again."


def tape_both_again(units: Units) -> str:
    """What to do about that."""
    return "Tape closed and open again, at the same edges of the same holes."


def drifts(units: Units, *, state: LinkState, change: Value, day: datetime.date, stop: OpenStop | None) -> str:
    """A length that should stay the same."""
    how = f"opened to the {stop}" if stop is not None else "screwed fully in at both ends"
    return (
        f"{state.capitalize()}, {change_text(change, units)} against {day_text(day)}: it was not {how} one of the two "
        "times, or another hole was used; tape again."
    )


def tape(units: Units, *, states: tuple[LinkState, ...]) -> str:
    """What was never taped."""
    return f"Tape it {' and '.join(states)}, pin to pin: m starts the walk."


def tape_next_season(units: Units) -> str:
    """Nothing before."""
    return "Tape it again next season."


# How far it may open.


def thread_still_in(units: Units, *, link: Link, target_mm: float, end: LinkEnd | None, weak: LinkEnd | None) -> str:
    """So that enough thread stays in; `end` is the only end with a thread."""
    length = mm_text(target_mm, units, 1 if units == "mm" else 2)
    where = f"the {end_text(link, end)}" if end is not None else "each end"
    first = f"; the {end_text(link, weak)} comes short first" if weak is not None else ""
    return f"{TARGET_D:g} d, {length}, of thread still in at {where}{first}"


def open_to(units: Units, *, reason: str) -> str:
    """The open limit as a number."""
    return f"Open to at most: {reason}"


def stop_as_stated(units: Units, *, stop: OpenStop) -> str:
    """A maker's stop."""
    return f"the maker's {stop}, as stated"


def stop_as_taped(units: Units, *, stop: OpenStop) -> str:
    """A maker's stop."""
    return f"the maker's {stop}, as taped when opened to it"


def past_its_stop(units: Units, *, state: LinkState, over: Value, stop: OpenStop) -> str:
    """Longer than a maker's stop lets it be."""
    return f"Taped {state}, it is {both_text(over, units)} longer than the maker's {stop} allows."


def screw_in_to(units: Units, *, length: Value) -> str:
    """What to do about that."""
    return f"Screw it in to {both_text(length, units)} or shorter."


# How much thread is in.


def thread_in(units: Units, *, link: Link, state: LinkState, size: Value, turns: float, end: LinkEnd) -> str:
    """How much thread is in at the end that has the least."""
    there = f"{both_text(size, units)}, {turns:.2f} d, of thread is in at the {end_text(link, end)}"
    return f"{state.capitalize()}, {there}"


def thread_in_brief(units: Units, *, turns: float) -> str:
    """The same in a few words."""
    return f"{turns:.2f} d of thread in"


def too_little_in(units: Units, *, found: str) -> str:
    """Not safe."""
    return f"{found}; under {FLOOR_D:g} d it is not safe to use."


def more_in_is_wanted(units: Units, *, found: str) -> str:
    """Less than is good."""
    return f"{found}; {TARGET_D:g} d is wanted."


def enough_in(units: Units, *, found: str, stop: OpenStop | None) -> str:
    """Enough, or as a maker's stop has it."""
    line = f"the maker's {stop} decides" if stop is not None else f"over {TARGET_D:g} d"
    return f"{found}: {line}."


def stop_contradicts(units: Units, *, found: str, stop: OpenStop) -> str:
    """Less than a maker's stop leaves."""
    return f"{found}; a maker's {stop} leaves more than that, so one of the figures is wrong."


def measure_thread_again(units: Units, *, floor: Value | None) -> str:
    """What to do about that."""
    until = f"; until then keep it at {both_text(floor, units)} or shorter" if floor is not None else ""
    return f"Measure thread length and exposed thread again{until}."


def screw_in_and_tape(units: Units) -> str:
    """Too little is in, and nothing tells how far it may open."""
    return "Screw it in, and tape it as it was when the thread was measured, to learn how far it may open."


def keep_within(units: Units, *, target: Value, floor: Value | None) -> str:
    """Too little is in."""
    never = f", never over {both_text(floor, units)}" if floor is not None else ""
    return f"Keep it at {both_text(target, units)} or shorter{never}; mark that length, and tape it as its open length."


def measure_next_season(units: Units) -> str:
    """Nothing before."""
    return "Measure it again next season."


# The thread: what contradicts itself, what agrees, what is missing.


def screws_oddly(units: Units, *, fault: str) -> str:
    """How it screws cannot be told."""
    return fault


def put_right_first(units: Units) -> str:
    """What to do about a contradiction."""
    return "Put that right first; nothing is worked out from it."


def thread_too_long(units: Units, *, link: Link, end: LinkEnd, thread: Value, closed: Value) -> str:
    """Thread longer than its rod."""
    return (
        f"The thread of {mm_text(thread.value, units)} at the {end_text(link, end)} is longer than its rod can be: "
        f"the whole link closes at {mm_text(closed.value, units)}. Measure the thread with the rod out."
    )


def more_out_than_it_has(units: Units, *, link: Link, engaged: Engaged, state: LinkState, thread: Value) -> str:
    """Less than nothing in."""
    verb = "stands" if state == engaged.measured_in else "would stand"
    out = mm_text(thread.value - engaged.by_state[state].value, units)
    return (
        f"At the {end_text(link, engaged.end)}, {state}, {out} of thread {verb} out, more than the "
        f"{mm_text(thread.value, units)} it has: less than nothing would be in. {_ROD_OUT.capitalize()}."
    )


def more_in_than_room(units: Units, *, inside_mm: float, room_mm: float, is_of_body: bool) -> str:
    """More in than the body, or the closed link, is long."""
    what = "the body" if is_of_body else "the closed link"
    return (
        f"Closed, {mm_text(inside_mm, units)} of thread would be in, but {what} is {mm_text(room_mm, units)} long: "
        f"{_ROD_OUT}; thread lengths too long by a mistake make a link look safer than it is."
    )


def weak_end(units: Units, *, link: Link, end: LinkEnd, less: Value) -> str:
    """One end with less in than the other."""
    return (
        f"The {end_text(link, end)} is the weak end: {both_text(less, units)} less thread is in than at the other. "
        "Screw both in fully, then out equally."
    )


def turns_disagree(units: Units, *, fault: str) -> str:
    """Turns against the tape."""
    return fault


def turns_agree(units: Units, *, turns: Turns, turned: Value) -> str:
    """Turns against the tape."""
    return f"{turns} turns make {both_text(turned, units)}: agrees with the tape"


def thread_out_disagrees(units: Units, *, came_out: Value, taped: Value) -> str:
    """What came out against the tape."""
    return f"{_came_out(came_out, taped, units)}: measure the thread at both ends again, closed and open."


def thread_out_agrees(units: Units, *, came_out: Value, taped: Value) -> str:
    """What came out against the tape."""
    return f"{_came_out(came_out, taped, units)}: agrees"


def _came_out(came_out: Value, taped: Value, units: Units) -> str:
    out, by_tape = (mm_text(size.value, units, 0 if units == "mm" else 2) for size in (came_out, taped))
    return f"{out} of thread came out from closed to open, the tape says {by_tape}"


def write_down_thread(units: Units) -> str:
    """Nothing is known of it."""
    return "Write down its thread: size, hand and length of thread at each end, and what stops its opening."


def needs_thread_length(units: Units, *, link: Link, end: LinkEnd) -> str:
    """What to measure first."""
    return f"Measure the length of thread on the rod at the {end_text(link, end)}, with the rod out."


def needs_thread_out(units: Units, *, link: Link, end: LinkEnd) -> str:
    """What to measure next."""
    return f"Measure how much thread stands out at the {end_text(link, end)}, opened to its limit."


def needs_taping(units: Units) -> str:
    """What to measure last."""
    return "Tape the link, pin to pin, as it stood when the thread was measured."
