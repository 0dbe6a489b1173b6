"""Slack at the tool as data."""

from collections.abc import Mapping

from fieldlog.records.quantities import Length
from fieldlog.report.size_data import size_data
from fieldlog.wear.tool_slack import ToolSlack

_DIGITS = 6


def tool_data(slack: ToolSlack | None) -> Mapping[str, object] | None:
    """Return what a joint's clearance is worth at the tool's edge; None without levers."""
    if slack is None:
        return None
    pitch = slack.pitch_deg
    return {
        "way": slack.way,
        "lever_arm_mm": _mm(slack.joint.lever_arm),
        "tool_radius_mm": _mm(slack.joint.tool_radius),
        "clearance": size_data(slack.clearance),
        "own": size_data(slack.own),
        "together": size_data(slack.together),
        "others": slack.others,
        "is_whole": slack.is_whole,
        "pitch_deg": round(pitch[0], _DIGITS) if pitch is not None else None,
        "pitch_plus_minus_deg": round(pitch[1], _DIGITS) if pitch is not None else None,
    }


def _mm(length: Length | None) -> float | None:
    return float(length.mm) if length is not None else None
