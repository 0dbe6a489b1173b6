"""Slack at the tool in the trade's short sentences."""

from fieldlog.measure.rounding import both_text, places_for, size_text
from fieldlog.records.quantities import Units
from fieldlog.wear.tool_slack import ToolSlack


def slack_sentence(slack: ToolSlack, units: Units) -> str:
    """Return what the clearance is worth at the tool's edge, without a full stop."""
    moved = both_text(slack.own, units)
    if slack.way == "top link":
        return _top_link(slack, units)
    if slack.way == "side to side":
        return f"Side to side at the tool: {moved} to each side ({_levers(slack)})"
    if slack.way == "turns":
        return f"Slack at the tool: {moved} ({_levers(slack)})"
    said = f"Slack at the tool: {moved}, in line"
    if slack.together is None:
        return said
    others = "other joint" if slack.others == 1 else f"{slack.others} other joints"
    return f"{said}; with the {others} in line {size_text(slack.together, units)}"


def _levers(slack: ToolSlack) -> str:
    arm, radius = slack.joint.lever_arm, slack.joint.tool_radius
    words = {"turns": "lever arm", "side to side": "bushes apart", "top link": "above the lower pins"}
    return f"{words[slack.way]} {arm.typed if arm else ''}, edge at {radius.typed if radius else ''}"


def _top_link(slack: ToolSlack, units: Units) -> str:
    pitch, radius = slack.pitch_deg, slack.joint.tool_radius
    if pitch is None or radius is None:
        return ""
    places = places_for(pitch[1], 2)
    both = "both ends together" if slack.is_whole and slack.together is not None else "its other end is not measured"
    moved = slack.together or slack.own
    alone = f"; this end alone {size_text(slack.own, units)}" if slack.together is not None else ""
    return (
        f"The implement pitches by {pitch[0]:.{places}f} ± {pitch[1]:.{places}f} degrees, {both_text(moved, units)} at "
        f"{radius.typed} behind the pins ({both}){alone}"
    )
