"""What needs doing over the whole fleet, worst first, and each machine in a line.

Worst first, and sides together only among equals: a sound twin never jumps over another machine's "renew"; that both
sides of an arm go together is said in the row of the worse one.

The due list's order within a severity: safety, then the least left in quarters of a year, then slack at the tool,
then share of the limit. A joint without a forecast stands where its share of four seasons would put it.
"""

import datetime
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import astuple, replace

from fieldlog.quantity.said import Said, codes_of, said
from fieldlog.records.machine import Joint, Machine, shown_name
from fieldlog.wear.history import put_off_said
from fieldlog.wear.other_evidence import twin_of
from fieldlog.wear.parts import parts_on
from fieldlog.wear.states import Finding, JointState, LinkReport, MachineState
from fieldlog.wear.summary import Borrower, DueItem, MachineRates, MachineSummary, Named, RateRow, due_first
from fieldlog.wear.tool_slack import slack_said
from fieldlog.wear.trends.hours import month_end
from fieldlog.wear.trends.planning import lead_trend, order_of
from fieldlog.wear.trends.rates import Lending, ahead_of, lendings, main_trend, may_borrow, own_line, rate_rows
from fieldlog.wear.trends.records import Trend, life_told, outlook, rate_told
from fieldlog.wear.verdicts import Severity, Verdict


def due_list(states: Iterable[MachineState]) -> tuple[DueItem, ...]:
    """Return every joint and link that is not sound or is to be measured again, worst first.

    Stop, renew, re-measure that may be over its limit or is about a joint that carries people's safety, plan,
    other re-measures, never measured, sound but due to be measured; within each the safety joints first, then the
    least that is left, the slack at the tool, the share of the limit used up.
    """
    items: list[DueItem] = []
    rates: list[MachineRates] = []
    may_come: dict[tuple[str, str], DueItem] = {}
    for state in states:
        items += due_of(state)
        rates.append(rates_of(state))
        may_come |= {(item.machine.id, item.joint.id): item for item in borrower_items(state, rates[-1])}
    borrowed = (with_lending(may_come[lent.row.machine.id, lent.row.joint.id], lent) for lent in lendings(rates))
    return due_first((*items, *borrowed))


def summary_of(state: MachineState) -> MachineSummary:
    """Return what the fleet page says of a machine on its own line."""
    counts = Counter(joint.finding.verdict for joint in state.joints)
    return MachineSummary(
        machine=_named(state),
        kind=state.machine.kind,
        meter_hours=state.meter_hours,
        last_day=state.last_day,
        worst=state.worst,
        severity=int(max((finding.severity for finding in state.findings), default=Severity.SOUND)),
        counts=tuple((verdict, counts[verdict]) for verdict in reversed(Verdict) if counts[verdict]),
    )


def due_of(state: MachineState) -> tuple[DueItem, ...]:
    """Return what is due on a machine, not yet in order."""
    machine = _named(state)
    return (
        *(_due_item(machine, joint, state.machine) for joint in state.joints if is_due(joint)),
        *(item for link in state.links if (item := _due_link(machine, link)) is not None),
    )


def _named(state: MachineState) -> Named:
    return Named(state.machine.id, shown_name(state.machine))


def rates_of(state: MachineState) -> MachineRates:
    """Return what a machine's joints lend to their kind, and what is known of those that may borrow from it."""
    rates = rate_rows(state)
    return MachineRates(rates, _borrowers(state, rates))


def borrower_items(state: MachineState, rates: MachineRates) -> tuple[DueItem, ...]:
    """Return the rows that a machine's borrowers have in the due list, or would have, one each."""
    joints = {joint.joint.id: joint for joint in state.joints}
    return tuple(_due_item(_named(state), joints[one.row.joint.id], state.machine) for one in rates.borrowers)


def with_lending(item: DueItem, lent: Lending) -> DueItem:
    """Return a row of the due list with what its kind lends to it."""
    return replace(
        item,
        order=lent.order,
        next_steps=(*item.next_steps, *lent.next_steps) if lent.is_due else lent.next_steps,
        brief=item.brief if lent.is_due else lent.brief,
        life=item.life or lent.life,
        outlook=(*item.outlook, lent.outlook),
        borrowed=lent.source,
    )


def holds_until(state: MachineState, today: datetime.date) -> datetime.date:
    """Return the last day on which a machine's summary would still come out as it did today, from the same entries.

    Whatever in a finding depends on the date has its say here; the fleet page is not worked out again before.
    """
    if state.last_day is not None and state.last_day > today:
        return today
    due = (joint.measuring for joint in state.joints)
    last_fresh = (one.day - datetime.timedelta(days=1) for one in due if one is not None and not one.is_overdue)
    month = [month_end(today)] if any(joint.trends for joint in state.joints) else []
    return min((max(day, today) for day in (*last_fresh, *month)), default=datetime.date.max)


def is_due(state: JointState) -> bool:
    """Tell whether a joint needs something: it is not sound, or it is to be measured again."""
    return state.finding.verdict is not Verdict.SOUND or (state.measuring is not None and state.measuring.is_overdue)


def is_over(finding: Finding) -> bool:
    """Tell whether there is nothing left to foretell: renew, stop, or perhaps over."""
    return finding.severity >= Severity.MAY_BE_OVER


def _borrowers(state: MachineState, rates: Sequence[RateRow]) -> tuple[Borrower, ...]:
    """Return the joints that may borrow from their kind: few readings, a limit, and something left to foretell."""
    rows = {row.joint.id: row for row in rates}
    found: list[Borrower] = []
    for joint in state.joints:
        trend, row = main_trend(joint), rows.get(joint.joint.id)
        ahead = ahead_of(trend) if trend is not None and may_borrow(trend) else None
        if trend is None or row is None or ahead is None or is_over(joint.finding):
            continue
        line, usage = own_line(trend), trend.usage
        found.append(
            Borrower(
                row=row,
                line=astuple(line),
                ahead=astuple(ahead),
                today=usage.today,
                now=usage.now,
                as_of=usage.as_of,
                per_year=usage.per_year,
                in_use=usage.in_use.typed if usage.in_use is not None else "",
                parts=parts_on(joint.joint, state.machine),
                order=order_of(joint),
                is_due=is_due(joint),
            )
        )
    return tuple(found)


def _due_item(machine: Named, state: JointState, whole: Machine) -> DueItem:
    finding, trend = state.finding, lead_trend(state.trends)
    is_overdue = finding.verdict is Verdict.SOUND and is_due(state)
    twin = twin_of(state.joint, whole)
    return DueItem(
        machine=machine,
        joint=Named(state.joint.id, shown_name(state.joint)),
        verdict=Verdict.REMEASURE if is_overdue else finding.verdict,
        reasons=(said("finding.sound_but_due"), *finding.reasons) if is_overdue else finding.reasons,
        next_steps=(*finding.next_steps, *_other_side(state, twin)),
        brief=said("finding.due_brief") if is_overdue else against_limit(finding),
        life=None if is_over(finding) else life_told(trend),
        outlook=_outlook(state, trend),
        order=order_of(state),
        twin=twin.id if twin is not None else "",
    )


def _other_side(state: JointState, twin: Joint | None) -> tuple[Said, ...]:
    """Say that both sides go together, where one of an arm or a bucket is renewed or planned for."""
    if twin is None or state.joint.kind == "hitch" or state.finding.verdict.rank < Verdict.PLAN.rank:
        return ()
    return (said("step.both_sides", twin=twin),)


def _due_link(machine: Named, report: LinkReport) -> DueItem | None:
    """Return a link whose thread or length needs something; among its like it comes before joints that only wear."""
    finding = report.finding
    if finding is None or finding.verdict is Verdict.SOUND:
        return None
    return DueItem(
        machine=machine,
        joint=Named(report.link.id, shown_name(report.link)),
        verdict=finding.verdict,
        reasons=finding.reasons,
        next_steps=finding.next_steps,
        brief=finding.brief,
        life=None,
        outlook=(),
        order=(-float(finding.severity), 0.0, -finding.share),
        is_link=True,
    )


def _outlook(state: JointState, trend: Trend | None) -> tuple[Said, ...]:
    """Return rate and forecast, the slack at the tool, and what was put off."""
    slack = (slack_said(state.slack),) if state.slack is not None else ()
    return (*_ahead(state.finding, trend), *slack, *put_off_said(state.put_off))


def _ahead(finding: Finding, trend: Trend | None) -> tuple[Said, ...]:
    """Return what the trend adds: nothing to a joint that is to be renewed, only the rate to one that may be over."""
    if trend is None or trend.line is None or finding.severity >= Severity.RENEW:
        return ()
    if "finding.may_not_last" in codes_of(finding.reasons):
        return ()
    return (rate_told(trend),) if is_over(finding) else outlook(trend)


def against_limit(finding: Finding) -> Said | None:
    """Return the number judged against its limit in a few words, None when nothing was measured."""
    if finding.brief is not None:
        return finding.brief
    clearance, limit = finding.clearance, finding.limit
    if clearance is None or limit is None or limit.of != "clearance":
        return None
    is_over = finding.is_unproved and finding.may_be_over
    return said("finding.clearance_brief", clearance=clearance, limit=limit, is_over_on_one_day=is_over)
