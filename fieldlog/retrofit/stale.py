"""Does a kept recommendation still stand? What it rested on is compared with what is known now."""

import re
from collections.abc import Collection, Mapping, Sequence

from fieldlog.records.recommendation import Basis, Recommendation

_SAME_MM = 0.05  # finer than any tape or caliper here tells
_MM = re.compile(r"^(-?\d+(?:\.\d+)?) mm$")


def stale_reasons(kept: Recommendation, now: Sequence[Basis] | None, gone: Mapping[str, str]) -> tuple[str, ...]:
    """Return why a recommendation does not stand any more, empty while it does.

    Args:
        kept: the recommendation.
        now: what the same comparison rests on today; None where the link or the offer is not there any more.
        gone: entries that count no more, each with the reason: struck, or not in the files.
    """
    if now is None:
        return (f"the offer {kept.offer_name or kept.offer} or the link {kept.link} is not in the logbook any more",)
    then = {item.what: item for item in kept.basis}
    today = {item.what: item for item in now}
    reasons = [_changed(item, today.get(item.what)) for item in kept.basis]
    reasons += [f"{item.what} is known now and was not: {item.value}" for item in now if item.what not in then]
    reasons += [_struck(item, gone) for item in kept.basis]
    return tuple(reason for reason in reasons if reason)


def _changed(then: Basis, now: Basis | None) -> str:
    if now is None:
        return f"{then.what}, {then.value}, is not known any more"
    if _is_same(then.value, now.value):
        return ""
    fresh = sorted({key.partition(" ")[0] for key in now.entries} - {key.partition(" ")[0] for key in then.entries})
    since = f", measured in {fresh[-1]}" if fresh else ""
    origin = f" ({now.origin})" if now.origin != then.origin and not fresh else ""
    return f"{then.what} was {then.value} and is {now.value} now{since}{origin}"


def _is_same(then: str, now: str) -> bool:
    first, second = _MM.match(then), _MM.match(now)
    if first and second:
        return abs(float(first[1]) - float(second[1])) <= _SAME_MM
    return then == now


def _struck(item: Basis, gone: Mapping[str, str]) -> str:
    found = [key for key in item.entries if key in gone]
    if not found:
        return ""
    more = f" and {len(found) - 1} more" if len(found) > 1 else ""
    return f"{item.what} rests on {found[0]}{more}, {gone[found[0]]}"


def gone_entries(kept: Recommendation, there: Collection[str], struck: Collection[str]) -> dict[str, str]:
    """Return the entries that a recommendation rests on and that count no more, with the reason."""
    found: dict[str, str] = {}
    for item in kept.basis:
        for key in item.entries:
            if key in struck:
                found[key] = "struck out since"
            elif key not in there:
                found[key] = "which is not in the files any more"
    return found
