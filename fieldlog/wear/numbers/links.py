"""Every number on a link's page, with the estimate it is and the readings it comes from.

A joint's slack at the tool and when it is measured next, opened up to what they follow from.
"""

import math
from collections.abc import Iterator

from fieldlog.measure.lengths import LinkLength
from fieldlog.quantity.estimate import Step
from fieldlog.quantity.page_number import Number
from fieldlog.quantity.said import Said, said
from fieldlog.quantity.text import day_text
from fieldlog.quantity.value import Value, exactly
from fieldlog.records.entries import LinkState, MachineLog, ThreadReading, TurnsReading
from fieldlog.records.machine import LinkEnd, SlackWay, shown_name
from fieldlog.wear.numbers.rates import Behind
from fieldlog.wear.numbers.sizes import face_keys
from fieldlog.wear.states import HoleState, JointState, LinkEndState, LinkReport, MeasuringDue, ToolSlack


def link_numbers(report: LinkReport, log: MachineLog) -> list[Number]:
    """Return lengths, travel, open limit, working lengths, ends and thread of a link, the lengths first."""
    return [*_lengths(report), *_working(report), *_ends(report), *_thread(report, log), *_others(report)]


def _lengths(report: LinkReport) -> Iterator[Number]:
    for state, length in report.lengths:
        if length.centres is not None:
            yield Number(state, _about(state, length), length.centres, length.keys)
    both = tuple(key for _, length in report.lengths for key in length.keys)
    if report.travel is not None:
        yield Number("travel", "Travel: open less closed, as taped", report.travel, both)
    if report.open_limit is not None:
        limit = report.open_limit
        yield Number("open limit", said("link.open_to", reason=limit.reason), limit.length, both)


def _about(state: str, length: LinkLength) -> str:
    return f"{state.capitalize()}, pin to pin: {', '.join(length.ways)}"


def _working(report: LinkReport) -> Iterator[Number]:
    keys = {state: length.keys for state, length in report.lengths}
    for number, (state, sizes) in enumerate(report.working):
        behind = (*keys.get(state, ()), *_bore_keys(report.near.hole), *_bore_keys(report.far.hole))
        yield Number(f"{state} tight", f"{state.capitalize()}, pins pulled tight", sizes.tight, behind)
        yield Number(f"{state} slack", f"{state.capitalize()}, pins pushed tight", sizes.slack, behind)
        if not number:
            yield Number("backlash", "Backlash of both pins along the link", sizes.backlash, behind)


def _bore_keys(hole: HoleState | None) -> tuple[str, ...]:
    """Return the readings of the face where a hole is largest."""
    if hole is None or hole.latest is None:
        return ()
    return face_keys(max(hole.latest.faces, key=lambda face: face.largest.value))


def _ends(report: LinkReport) -> Iterator[Number]:
    for end in (report.near, report.far):
        name = shown_name(end.hole.hole) if end.hole is not None else ""
        for word, about, size in _end_sizes(end):
            full = said("pin.of_hole", name=name, what=about)
            yield Number(f"{name}, {word}", full, size, () if word == "pin" else _bore_keys(end.hole))


def _end_sizes(end: LinkEndState) -> Iterator[tuple[str, str | Said, Value]]:
    if end.along is not None:
        yield "bore", "size of the hole along the link", end.along
    if end.pin is not None:
        yield "pin", said("pin.and_origin", origin=end.pin_origin), end.pin
    if end.clearance is not None:
        yield "loose", "hole along the link less its pin", end.clearance


def _thread(report: LinkReport, log: MachineLog) -> Iterator[Number]:
    thread = report.thread
    if thread is None:
        return
    out = [reading for reading in log.standing(ThreadReading) if reading.link == report.link.id]
    turns = tuple(reading.key for reading in log.standing(TurnsReading) if reading.link == report.link.id)

    def keys(end: LinkEnd, state: LinkState) -> tuple[str, ...]:
        there = [reading for reading in out if (reading.end, reading.state) == (end, state)]
        newest = max(((reading.day, reading.round) for reading in there), default=None)
        return tuple(reading.key for reading in there if (reading.day, reading.round) == newest)

    for one in thread.ends:
        for state, size in one.by_state.items():
            about = f"Thread in at the {one.end} end, {state}: its length less what stands out"
            yield Number(f"{one.end} thread {state}", about, size, keys(one.end, state))
    for word, about, limit in (
        ("1.0 d", "Length at which the least engaged end is down to 1.0 d", thread.floor),
        ("1.5 d", "Length at which the least engaged end is down to 1.5 d", thread.target),
    ):
        if limit is not None:
            yield Number(word, about, limit, tuple(reading.key for reading in out))
    if thread.turned is not None:
        yield Number("by turns", "Travel by the turns of the body", thread.turned, turns)


def _others(report: LinkReport) -> Iterator[Number]:
    for row in report.others:
        size, keys = row.length.centres, row.length.keys
        if size is not None:
            holes = " to ".join(shown_name(hole) for hole in (row.near_hole, row.far_hole) if hole is not None)
            yield Number(f"{row.state} from {holes}", f"From another hole, {holes}, {row.state}", size, keys)


_EARLIEST = (
    "At once where the verdict waits for it. Else the earliest of: a season; the machine's interval in hours, else "
    "250 h; half-way from the last measuring to the earliest that a watch line is reached, 50 h at the least; 50 h "
    "after something was made new. Without a meter days in its months of work stand for hours."
)
_WAYS: dict[SlackWay, str] = {
    "in line": "In line the tool moves by the clearance itself.",
    "turns": "It turns about a hinge: slack = clearance x edge / lever arm.",
    "side to side": "Bushes s apart let the edge go clearance x edge / s to each side.",
    "top link": "The implement pitches by clearance / height above the lower pins, as far out as is said: c x R / m.",
}
_ARMS: dict[SlackWay, str] = {"turns": "lever arm", "side to side": "bushes apart", "top link": "above the lower pins"}


def slack_numbers(state: JointState, clearance_keys: tuple[str, ...]) -> Iterator[Number]:
    """Yield what the tool moves by this joint's clearance, alone and with others, and how far an implement pitches."""
    slack = state.slack
    if slack is None:
        return
    yield _moved(slack, "slack at the tool", "Slack at the tool, from this joint", slack.own, clearance_keys)
    if slack.together is not None:
        about = f"Slack at the tool, with {slack.others} more that move it the same way"
        yield _moved(slack, "slack together", about, slack.together, clearance_keys)
    if slack.pitch_deg is not None:
        yield _pitch(slack, clearance_keys)


def _moved(slack: ToolSlack, word: str, about: str, moved: Value, keys: tuple[str, ...]) -> Number:
    steps = [Step("clearance", slack.clearance, "of this joint, as last measured", "clearance"), *_levers(slack)]
    if moved is slack.together:
        steps.append(
            Step("other joints", exactly(float(slack.others), ""), "their clearances added, independent of it")
        )
    return Number(word, about, moved, keys, steps=tuple(steps), formula=_WAYS[slack.way])


def _levers(slack: ToolSlack) -> list[Step]:
    arm, radius = slack.joint.lever_arm, slack.joint.tool_radius
    if slack.way not in _ARMS or arm is None or radius is None:
        return []
    return [
        Step(_ARMS[slack.way], arm.typed, "as typed, right within half its last digit"),
        Step("edge at", radius.typed, "as typed, right within half its last digit"),
        Step("lever ratio", exactly(float(radius.mm / arm.mm), ""), "edge over arm"),
    ]


def _pitch(slack: ToolSlack, keys: tuple[str, ...]) -> Number:
    moved, radius = slack.together or slack.own, slack.joint.tool_radius
    assert radius is not None
    per_mm = math.degrees(1 / float(radius.mm))
    word = "slack together" if slack.together is not None else "slack at the tool"
    steps = (
        Step("moved at the edge", moved, "by the clearances", word),
        Step("edge at", exactly(float(radius.mm), "mm"), f"typed {radius.typed}"),
    )
    formula = "pitch = moved / edge, in radians, times 57.3."
    return Number(
        "pitch",
        "How far the implement pitches",
        moved.as_unit("deg", per_mm),
        keys,
        steps=steps,
        formula=formula,
    )


def measuring_number(state: JointState) -> Number | None:
    """Return when to measure next, from the last time on; None for what was never measured."""
    due = state.measuring
    if due is None or state.last_day is None:
        return None
    return Number(
        "measure next",
        "When to measure next, counted from the last time",
        _value(due, state),
        (),
        steps=_due_steps(due, state),
        formula=_EARLIEST,
        said=said("season.measure_by", due=due, why=due.why),
    )


def _value(due: MeasuringDue, state: JointState) -> Value:
    assert state.last_day is not None
    if due.hours is not None and state.last_hours is not None:
        return exactly(due.hours - float(state.last_hours), "h")
    return exactly(float((due.day - state.last_day).days), "days")


def _due_steps(due: MeasuringDue, state: JointState) -> tuple[Step, ...]:
    assert state.last_day is not None
    hours = f" at {state.last_hours} h" if state.last_hours is not None else ""
    return (
        Step("last measured", f"{day_text(state.last_day)}{hours}"),
        *_watch_steps(state),
        Step("due", f"{day_text(due.day)}{f' at {due.hours:.0f} h' if due.hours is not None else ''}", due.why),
    )


def _watch_steps(state: JointState) -> tuple[Step, ...]:
    """Return the earliest that each watch line is reached."""
    found: list[Step] = []
    for trend in state.trends:
        if trend.watch is not None:
            behind = Behind(trend, state)
            earliest = exactly(trend.watch.earliest, behind.unit)
            word = f"{behind.thing}, watch line reached"
            where = "on the meter" if behind.unit == "h" else f"from {day_text(trend.usage.as_of)}"
            found.append(Step(f"{behind.thing}: watch line at the earliest", earliest, where, word))
    return tuple(found)
