"""How often a link's 95 % intervals hold the truth: lengths, travel, thread that is in, longest open length.

Run as `python tests/benchmarks/link_intervals.py [DAYS]`. Links of known size are taped with errors drawn evenly from
within the limits that the budget names (tape class, hook and eye, typed step, where a thread begins); the tape's own
error is one for the whole day. Seeded; prints the share of days on which each interval holds the true value.
"""

import datetime
import random
import sys
from collections import Counter

from fieldlog.measure.engagement import engaged_at, exposed_length, longest_open, thread_length
from fieldlog.measure.lengths import LinkLength, Screwing, link_length, taped_travel
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.entries import LengthReading, LinkState, TapeWay, ThreadReading
from fieldlog.records.machine import Instrument
from fieldlog.standards.instruments import tape_error_limit_mm

SEED = 20261125
DAY = datetime.date(2026, 3, 14)
TAPE = Instrument("tape", "tape", resolution=parse_length("1 mm"), tape_class="II")
WAYS: tuple[TapeWay, ...] = ("outside", "inside")
SCREW = Screwing(0.5, 0.5, 6.0)
HEAD = {"round": "r", "day": DAY, "who": "x", "link": "top", "instrument": "tape"}


def whole_mm(value_mm: float) -> str:
    """A size as read to the millimetre."""
    return f"{round(value_mm)} mm"


def taped(dice: random.Random, state: LinkState, centres_mm: float, holes_mm: float, tape: float) -> LinkLength:
    """Tape a link outside and inside, once each, at 20 degrees."""
    readings = []
    for number, way in enumerate(WAYS):
        true = centres_mm + (holes_mm / 2 if way == "outside" else -holes_mm / 2)
        read = true + tape * tape_error_limit_mm("II", true) + dice.uniform(-1, 1)
        readings.append(
            LengthReading(at=f"{number}", size=parse_length(whole_mm(read)), way=way, state=state, **HEAD)  # type: ignore[arg-type]
        )
    length = link_length(readings, None, None, {"tape": TAPE})
    assert length is not None
    return length


def one_day(dice: random.Random) -> dict[str, bool]:
    """Measure one link of a known size; tell which intervals hold the truth."""
    closed_mm, travel_mm, holes_mm = dice.uniform(400, 700), dice.uniform(60, 250), dice.uniform(30, 60)
    thread_mm, out_mm, tape = dice.uniform(120, 220), dice.uniform(2, 15), dice.uniform(-1, 1)
    closed = taped(dice, "closed", closed_mm, holes_mm, tape)
    opened = taped(dice, "open", closed_mm + travel_mm, holes_mm, tape)
    travel = taped_travel(closed, opened)
    seen = out_mm + dice.uniform(-1, 1) + tape * tape_error_limit_mm("II", out_mm)
    reading = ThreadReading(at="9", exposed=parse_length(whole_mm(max(seen, 0))), end="near", state="closed", **HEAD)  # type: ignore[arg-type]
    typed = thread_length(parse_length(whole_mm(thread_mm + dice.uniform(-1, 1))), "near")
    assert closed.centres is not None
    assert opened.centres is not None
    assert travel is not None
    lengths = {"closed": closed.centres, "open": opened.centres}
    engaged = engaged_at("near", typed, {"closed": exposed_length([reading], {"tape": TAPE})}, lengths, SCREW)  # type: ignore[arg-type]
    assert engaged is not None
    longest = longest_open(engaged, lengths, SCREW, 24.0)  # type: ignore[arg-type]
    in_open = engaged.by_state["open"]
    truths = {
        "closed length": (closed.centres, closed_mm),
        "travel": (travel, travel_mm),
        "thread in, closed": (engaged.by_state["closed"], thread_mm - out_mm),
        "thread in, open": (in_open, thread_mm - out_mm - travel_mm / 2),
        "longest open length": (longest, closed_mm + 2 * (thread_mm - out_mm - 24)),
    }
    return {name: abs(found.value - true) <= found.plus_minus for name, (found, true) in truths.items()}


def main(days: int) -> None:
    """Print the share of days on which each interval held the truth."""
    dice = random.Random(SEED)
    held: Counter[str] = Counter()
    for _ in range(days):
        held.update(name for name, holds in one_day(dice).items() if holds)
    print(f"seed {SEED}, {days} days")
    for name, count in held.items():
        print(f"{name:<22} {100 * count / days:5.1f} % held the truth")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
