"""The order of the due list: what a careful mechanic would see to first."""

import math

from fieldlog.standards.joints import SAFETY_KINDS
from fieldlog.wear.forecast_words import years_left
from fieldlog.wear.planning import lead_trend
from fieldlog.wear.states import Finding, JointState
from fieldlog.wear.verdicts import Severity

_USUAL_YEARS = 4.0  # what a joint without a forecast is taken to last in all: judgement, for the order only
_BUCKETS_A_YEAR = 4  # less than a season's quarter apart counts as alike


def order_of(state: JointState) -> tuple[float, ...]:
    """Return what a list is sorted by, the smallest first.

    Severity (a doubtful joint that carries people's safety counts as one that may be over); then safety joints; then
    the least that is left in quarters of a year; then the larger slack at the tool's edge, where that is known; then
    the larger share of the limit used up.
    """
    finding = state.finding
    is_safety = state.joint.kind in SAFETY_KINDS
    severity = finding.severity
    if severity == Severity.DOUBTFUL and is_safety:
        severity = Severity.MAY_BE_OVER
    slack_mm = state.slack.own.value_mm if state.slack is not None else 0.0
    return -float(severity), 0.0 if is_safety else 1.0, _quarters_left(state), -slack_mm, -finding.share


def _quarters_left(state: JointState) -> float:
    """Return the lower bound of what is left in quarters of a year, 0 where it may be used up already."""
    finding = state.finding
    if finding.severity >= Severity.MAY_BE_OVER:
        return 0.0
    trend = lead_trend(state.trends)
    years = years_left(trend) if trend is not None else None
    if years is None:
        years = _years_by_share(finding)
    return float(math.floor(min(years, 100.0) * _BUCKETS_A_YEAR))


def _years_by_share(finding: Finding) -> float:
    return max(1.0 - finding.share, 0.0) * _USUAL_YEARS
