"""What needs doing over the whole fleet, worst first, and each machine in a line."""

import datetime
from collections import Counter
from collections.abc import Iterable

from fieldlog.measure.rounding import mm_text
from fieldlog.records.machine import shown_name
from fieldlog.records.quantities import Units
from fieldlog.standards.joints import SAFETY_KINDS
from fieldlog.wear.assess import STALE_DAYS
from fieldlog.wear.states import Finding, JointState, MachineState, Severity, Verdict
from fieldlog.wear.summary import DueItem, MachineSummary, Named, due_first


def due_list(states: Iterable[MachineState], units: Units) -> tuple[DueItem, ...]:
    """Return every joint that is not sound, worst first.

    Stop, renew, re-measure that may be over its limit or is about a joint that carries people's safety, plan,
    other re-measures, never measured; within each the safety joints first, then by share of the limit used up.
    """
    return due_first(summary_of(state, units) for state in states)


def summary_of(state: MachineState, units: Units) -> MachineSummary:
    """Return what the fleet page says of a machine."""
    machine = Named(state.machine.id, shown_name(state.machine))
    counts = Counter(joint.finding.verdict for joint in state.joints)
    return MachineSummary(
        machine=machine,
        kind=state.machine.kind,
        meter_hours=state.meter_hours,
        last_day=state.last_day,
        worst=state.worst,
        severity=int(max((joint.finding.severity for joint in state.joints), default=Severity.SOUND)),
        counts=tuple((verdict, counts[verdict]) for verdict in reversed(Verdict) if counts[verdict]),
        due=tuple(
            _due_item(machine, joint, units) for joint in state.joints if joint.finding.verdict is not Verdict.SOUND
        ),
    )


def holds_until(state: MachineState, today: datetime.date) -> datetime.date:
    """Return the last day on which a machine's summary would still come out as it did today, from the same entries.

    Whatever in a finding depends on the date has its say here; the fleet page is not worked out again before.
    """
    if state.last_day is not None and state.last_day > today:
        return today
    last_fresh = (
        joint.last_day + datetime.timedelta(days=STALE_DAYS)
        for joint in state.joints
        if joint.last_day is not None and joint.finding.severity == Severity.SOUND
    )
    return min((day for day in last_fresh if day >= today), default=datetime.date.max)


def _due_item(machine: Named, state: JointState, units: Units) -> DueItem:
    finding = state.finding
    return DueItem(
        machine=machine,
        joint=Named(state.joint.id, shown_name(state.joint)),
        verdict=finding.verdict,
        reason=finding.reason,
        next_step=finding.next_step,
        brief=against_limit(finding, units),
        order=_order(state),
    )


def _order(state: JointState) -> tuple[float, ...]:
    finding = state.finding
    is_safety = state.joint.kind in SAFETY_KINDS
    severity = finding.severity
    if severity == Severity.DOUBTFUL and is_safety:
        severity = Severity.MAY_BE_OVER
    return -float(severity), 0.0 if is_safety else 1.0, -finding.share


def against_limit(finding: Finding, units: Units) -> str:
    """Return the number judged against its limit in a few words, empty when nothing was measured."""
    judged, limit = finding.clearance, finding.limit
    if judged is None or limit is None or limit.of != "clearance":
        return ""
    places = 2 if units == "mm" else 3
    value = mm_text(judged.value_mm, units, places).removesuffix(f" {units}")
    return f"{value}, limit {mm_text(limit.renew_mm, units, places)}"
