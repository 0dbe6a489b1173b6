"""Levers of a joint that cannot be, or that lack something; nothing is reckoned from them then."""

from collections.abc import Iterable

from fieldlog.records.machine import Joint
from fieldlog.records.problems import Problem
from fieldlog.store.tables import Placed

LONGEST_LEVER_MM = 5_000
_ARMS = {
    "turns": 'the lever arm of the pin about the hinge, as in lever_arm = "180 mm"',
    "side to side": 'how far the bushes are apart, as in lever_arm = "180 mm"',
    "top link": 'how far the top link is above the lower pins, as in lever_arm = "460 mm"',
}
_EDGE = 'how far the tool\'s edge is from the hinge or the pins, as in tool_radius = "650 mm"'
ACCEPTED_LEVER = "a lever is above 0 and at most 5 m"
ACCEPTED_WAY = 'write slack_way = "turns", "in line", "side to side" or "top link"'


def lever_problems(item: Placed[Joint]) -> Iterable[Problem]:
    """Yield what is wrong with a joint's levers."""
    joint = item.record
    for key, length in (("lever_arm", joint.lever_arm), ("tool_radius", joint.tool_radius)):
        if length is None:
            continue
        if not 0 < length.mm <= LONGEST_LEVER_MM:
            yield item.problem(key, f"{length.typed} cannot be right", ACCEPTED_LEVER)
        elif joint.slack_way is None:
            yield item.problem(key, "nothing says which way the slack goes, so it is not used", ACCEPTED_WAY)
    if joint.slack_way not in _ARMS:
        return
    if joint.lever_arm is None:
        yield item.problem(
            "lever_arm", f'is missing for slack_way = "{joint.slack_way}"', f"write {_ARMS[joint.slack_way]}"
        )
    if joint.tool_radius is None:
        yield item.problem("tool_radius", f'is missing for slack_way = "{joint.slack_way}"', f"write {_EDGE}")
