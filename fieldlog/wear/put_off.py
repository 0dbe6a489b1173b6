"""What was put off on a joint, by whom and why, as long as it was not done since."""

from collections.abc import Iterable

from fieldlog.records.days import day_text
from fieldlog.records.entries import RENEWING_DEEDS, Event
from fieldlog.records.machine import Joint
from fieldlog.wear.index import Index
from fieldlog.wear.spans import moment, touches_joint

PUT_OFF = "put off"


def still_put_off(joint: Joint, index: Index) -> tuple[Event, ...]:
    """Return what was put off on a joint since it was last made new, oldest first."""
    about = sorted((event for event in index.events if touches_joint(event, joint, index.machine)), key=moment)
    done = max((moment(event) for event in about if event.deed in RENEWING_DEEDS), default=None)
    return tuple(event for event in about if event.deed == PUT_OFF and (done is None or moment(event) > done))


def put_off_sentences(events: Iterable[Event]) -> tuple[str, ...]:
    """Return 'Put off on 2026-11-07 by nell: bush on order.' for each."""
    return tuple(f"Put off on {day_text(event.day)} by {event.who}: {_why(event)}." for event in events)


def _why(event: Event) -> str:
    return event.text.strip().rstrip(".") or "no reason is written down"
