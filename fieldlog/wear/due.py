"""What needs doing over the whole fleet, worst first, and each machine in a line."""

import datetime
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import astuple

from fieldlog.quantity.lengths import Units
from fieldlog.quantity.rounding import mm_text
from fieldlog.records.machine import Joint, Machine, shown_name
from fieldlog.wear.history import put_off_sentences
from fieldlog.wear.order_list import parts_text
from fieldlog.wear.other_evidence import twin_of
from fieldlog.wear.states import Finding, JointState, LinkReport, MachineState
from fieldlog.wear.summary import Borrower, DueItem, MachineRates, MachineSummary, Named, RateRow, due_first
from fieldlog.wear.tool_slack import slack_sentence
from fieldlog.wear.trends.forecast_words import rate_sentence
from fieldlog.wear.trends.hours import month_end
from fieldlog.wear.trends.planning import lead_trend, life_text, order_of, outlook_text
from fieldlog.wear.trends.rates import ahead_of, borrowed_items, main_trend, may_borrow, own_line, rate_rows
from fieldlog.wear.trends.records import Trend
from fieldlog.wear.verdicts import Severity, Verdict


def due_list(states: Iterable[MachineState], units: Units) -> tuple[DueItem, ...]:
    """Return every joint and link that is not sound or is to be measured again, worst first.

    Stop, renew, re-measure that may be over its limit or is about a joint that carries people's safety, plan,
    other re-measures, never measured, sound but due to be measured; within each the safety joints first, then the
    least that is left, the slack at the tool, the share of the limit used up.
    """
    found = [(summary_of(state, units), rates_of(state, units)) for state in states]
    borrowed = borrowed_items([rates for _, rates in found])
    return due_first((*(item for summary, _ in found for item in summary.due), *borrowed))


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
        severity=int(max((finding.severity for finding in state.findings), default=Severity.SOUND)),
        counts=tuple((verdict, counts[verdict]) for verdict in reversed(Verdict) if counts[verdict]),
        due=(
            *(_due_item(machine, joint, state.machine, units) for joint in state.joints if is_due(joint)),
            *(item for link in state.links if (item := _due_link(machine, link)) is not None),
        ),
    )


def rates_of(state: MachineState, units: Units) -> MachineRates:
    """Return what a machine's joints lend to their kind, and what is known of those that may borrow from it."""
    rates = rate_rows(state)
    return MachineRates(rates, _borrowers(Named(state.machine.id, shown_name(state.machine)), state, rates, units))


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


def _borrowers(machine: Named, state: MachineState, rates: Sequence[RateRow], units: Units) -> tuple[Borrower, ...]:
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
                parts=parts_text(joint.joint, state.machine),
                item=_due_item(machine, joint, state.machine, units),
                is_due=is_due(joint),
            )
        )
    return tuple(found)


def _due_item(machine: Named, state: JointState, whole: Machine, units: Units) -> DueItem:
    finding, trend = state.finding, lead_trend(state.trends)
    is_overdue = finding.verdict is Verdict.SOUND and is_due(state)
    twin = twin_of(state.joint, whole)
    return DueItem(
        machine=machine,
        joint=Named(state.joint.id, shown_name(state.joint)),
        verdict=Verdict.REMEASURE if is_overdue else finding.verdict,
        reason=f"Sound when last measured, and due again. {finding.reason}" if is_overdue else finding.reason,
        next_step=f"{finding.next_step}{_other_side(state, twin)}",
        brief="due to be measured" if is_overdue else against_limit(finding, units),
        life="" if is_over(finding) else life_text(trend),
        outlook=_outlook(state, trend, units),
        order=order_of(state),
        twin=twin.id if twin is not None else "",
    )


def _other_side(state: JointState, twin: Joint | None) -> str:
    """Return that both sides go together, where one of an arm or a bucket is renewed or planned for."""
    if twin is None or state.joint.kind == "hitch" or state.finding.verdict.rank < Verdict.PLAN.rank:
        return ""
    return f" {shown_name(twin)}, the other side, goes with it, or the machine racks."


def _due_link(machine: Named, report: LinkReport) -> DueItem | None:
    """Return a link whose thread or length needs something; among its like it comes before joints that only wear."""
    finding = report.finding
    if finding is None or finding.verdict is Verdict.SOUND:
        return None
    return DueItem(
        machine=machine,
        joint=Named(report.link.id, shown_name(report.link)),
        verdict=finding.verdict,
        reason=finding.reason,
        next_step=finding.next_step,
        brief=finding.brief,
        life="",
        outlook="",
        order=(-float(finding.severity), 0.0, -finding.share),
        is_link=True,
    )


def _outlook(state: JointState, trend: Trend | None, units: Units) -> str:
    """Return rate and forecast, the slack at the tool, and what was put off."""
    slack = f"{slack_sentence(state.slack, units)}." if state.slack is not None else ""
    said = (_ahead(state.finding, trend, units), slack, *put_off_sentences(state.put_off))
    return " ".join(part for part in said if part)


def _ahead(finding: Finding, trend: Trend | None, units: Units) -> str:
    """Return what the trend adds: nothing to a joint that is to be renewed, only the rate to one that may be over."""
    if trend is None or trend.line is None or finding.severity >= Severity.RENEW or "It may not last" in finding.reason:
        return ""
    return rate_sentence(trend, units) if is_over(finding) else outlook_text(trend, units)


def against_limit(finding: Finding, units: Units) -> str:
    """Return the number judged against its limit in a few words, empty when nothing was measured."""
    if finding.brief:
        return finding.brief
    judged, limit = finding.clearance, finding.limit
    if judged is None or limit is None or limit.of != "clearance":
        return ""
    places = 2 if units == "mm" else 3
    value = mm_text(judged.value_mm, units, places).removesuffix(f" {units}")
    line = mm_text(limit.renew_mm, units, places)
    if finding.is_unproved and finding.may_be_over:
        return f"{value} over {line.removesuffix(f' {units}')}, one day"
    return f"{value}, limit {line}"
