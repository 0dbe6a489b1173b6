"""A joint's slack at the tool and when it is measured next, opened up to what they follow from."""

import math
from collections.abc import Iterator

from fieldlog.measure.estimate import Estimate, exactly
from fieldlog.measure.figure import Figure, FigurePart, Step
from fieldlog.records.days import day_text
from fieldlog.records.machine import SlackWay
from fieldlog.wear.measuring import MeasuringDue
from fieldlog.wear.numbers import Number
from fieldlog.wear.states import JointState
from fieldlog.wear.tool_slack import ToolSlack
from fieldlog.wear.trend_behind import Behind

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


def _moved(slack: ToolSlack, word: str, about: str, moved: Estimate, keys: tuple[str, ...]) -> Number:
    steps = [Step("clearance", slack.clearance, "of this joint, as last measured", "clearance"), *_levers(slack)]
    if moved is slack.together:
        steps.append(Step("other joints", Figure(float(slack.others), ""), "their clearances added, independent of it"))
    return Number(word, about, moved, keys, steps=tuple(steps), formula=_WAYS[slack.way])


def _levers(slack: ToolSlack) -> list[Step]:
    arm, radius = slack.joint.lever_arm, slack.joint.tool_radius
    if slack.way not in _ARMS or arm is None or radius is None:
        return []
    return [
        Step(_ARMS[slack.way], arm.typed, "as typed, right within half its last digit"),
        Step("edge at", radius.typed, "as typed, right within half its last digit"),
        Step("lever ratio", Figure(float(radius.mm / arm.mm), ""), "edge over arm"),
    ]


def _pitch(slack: ToolSlack, keys: tuple[str, ...]) -> Number:
    moved, radius = slack.together or slack.own, slack.joint.tool_radius
    assert radius is not None
    per_mm = math.degrees(1 / float(radius.mm))
    parts = tuple(FigurePart(p.name, per_mm * p.u_mm, p.dof, p.source, is_limit=p.is_limit) for p in moved.parts)
    word = "slack together" if slack.together is not None else "slack at the tool"
    steps = (
        Step("moved at the edge", moved, "by the clearances", word),
        Step("edge at", exactly(float(radius.mm)), f"typed {radius.typed}"),
    )
    formula = "pitch = moved / edge, in radians, times 57.3."
    return Number(
        "pitch",
        "How far the implement pitches",
        Figure(per_mm * moved.value_mm, "deg", parts),
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
        said=f"By {day_text(due.day)}{f' or at {due.hours:.0f} h' if due.hours is not None else ''}: {due.why}.",
    )


def _value(due: MeasuringDue, state: JointState) -> Figure:
    assert state.last_day is not None
    if due.hours is not None and state.last_hours is not None:
        return Figure(due.hours - float(state.last_hours), "h")
    return Figure(float((due.day - state.last_day).days), "days")


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
            earliest = Figure(trend.watch.earliest, behind.unit)
            word = f"{behind.thing}, watch line reached"
            where = "on the meter" if behind.unit == "h" else f"from {day_text(trend.usage.as_of)}"
            found.append(Step(f"{behind.thing}: watch line at the earliest", earliest, where, word))
    return tuple(found)
