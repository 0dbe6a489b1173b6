"""Is a share worth what it says? Pins drawn, holes made, worn, read and tried by the beliefs; shares held to the truth.

Run as `python tests/benchmarks/which_pin.py [WORLDS] [SEED]` with the project's interpreter; it prints and judges
nothing. A share of 70 to 80 % should be the true pin in 70 to 80 of 100 cases. Then the next step is taken, and how
often it settles the pin is held against how often it was said to.
"""

import datetime
import random
import sys
from collections import defaultdict
from dataclasses import replace

from fieldlog.measure.pin_evidence import HoleDay, PinAnswer, PinEvidence
from fieldlog.measure.pin_weights import growth_of
from fieldlog.measure.pins import identify_pin
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.value import Value
from fieldlog.records.entries import Trial, TrialResult
from fieldlog.records.machine import Hole, HoleUse, Joint, JointKind
from fieldlog.standards.joints import JOINT_DEFAULTS, NOMINAL_PINS, WORST_WEAR_MM, NominalPin, is_one_size
from tests.values import part, sized

DAY = datetime.date(2026, 5, 2)
KINDS: tuple[JointKind, ...] = ("pivot", "bushed", "hitch", "drawbar")
USES: tuple[HoleUse, ...] = ("never", "sometimes", "daily")
BINS = 10


def drawn_room_mm(kind: JointKind, use: HoleUse, dice: random.Random) -> float:
    """Draw room as made and growth from the stated beliefs."""
    usual = JOINT_DEFAULTS[kind]
    least, most = usual.new_least_mm, usual.new_most_mm
    band = dice.choices(((least, most), (-0.05, max(least, -0.03)), (most, most + 0.5)), (0.85, 0.10, 0.05))[0]
    growth = growth_of(use, has_signs=False)
    grown = WORST_WEAR_MM + 1
    while grown > WORST_WEAR_MM:
        grown = dice.expovariate(1 / growth.mean_mm)
    return dice.uniform(*band) + (grown if dice.random() < growth.share else 0.0)


def size(mm: float, sigma_mm: float) -> Value:
    """A size with its standard uncertainty, infinitely sure of that."""
    return sized(mm, (part("drawn", sigma_mm, float("inf"), "drawn"),))


def world(dice: random.Random) -> tuple[NominalPin, PinEvidence]:
    """Draw a pin, its hole, a reading of it and up to three shanks tried."""
    pin = dice.choice(NOMINAL_PINS)
    kind, use = dice.choice(KINDS), dice.choice(USES)
    hole_mm = float(pin.mm) + drawn_room_mm(kind, use, dice)
    sigma = dice.choice((0.02, 0.03, 0.1, 0.25))
    reading = size(hole_mm + dice.gauss(0, sigma), sigma)
    trials = []
    for _ in range(dice.randrange(4)):
        tried_mm = round(hole_mm + dice.uniform(-1, 1), 1)
        goes = dice.gauss(tried_mm - 0.03, 0.03) <= hole_mm
        result: TrialResult = "goes" if goes is (dice.random() > 0.02) else "no"
        trials.append(
            Trial(
                at="09:00:00",
                round="r",
                day=DAY,
                who="ann",
                hole="h",
                size=parse_length(f"{tried_mm} mm"),
                result=result,
                by="shank",
            )
        )
    joint, hole = Joint("j", kind=kind), Hole("h", "j", use=use)
    return pin, PinEvidence(joint, ((hole, reading),), trials=tuple(trials), days=(HoleDay("h", DAY, reading),))


def share_of(answer: PinAnswer, name: str) -> float:
    """The weight of a pin with those that are one size with it."""
    return sum(candidate.share for candidate in answer.candidates if is_one_size(candidate.name, name))


def measured(pin: NominalPin, dice: random.Random) -> Value:
    """The pin's unworn end, read."""
    slim = abs(dice.gauss(0, 0.05)) if dice.random() < 0.9 else dice.uniform(0, 0.25)
    return size(float(pin.mm) - slim + dice.gauss(0, 0.02), 0.02)


def main(worlds: int, seed: int) -> None:
    """Print reliability by share, how often the true pin was left out, and settling said against settling found."""
    dice = random.Random(seed)
    said: dict[int, list[float]] = defaultdict(list)
    lost = contrary = steps = settled = 0
    promised = 0.0
    for _ in range(worlds):
        pin, found = world(dice)
        answer = identify_pin(found, "mm")
        contrary += bool(answer.contradictions)
        lost += share_of(answer, pin.name) == 0
        for group in answer.groups:
            share = sum(candidate.share for candidate in group)
            said[min(int(share * BINS), BINS - 1)].append(float(any(is_one_size(c.name, pin.name) for c in group)))
        step = next((step for step in answer.next_steps if step.needs_pin), None)
        if step is not None and not answer.contradictions:
            steps += 1
            promised += step.settles
            after = identify_pin(replace(found, measured_pin=measured(pin, dice)), "mm")
            settled += max((sum(c.share for c in group) for group in after.groups), default=0.0) >= 0.95
    print(f"{worlds} worlds, seed {seed}; {contrary} contradict themselves; the true pin is not offered in {lost}")
    print("share said    true in   of")
    for number in sorted(said):
        hits = said[number]
        print(f"{number * 10:3d} to {number * 10 + 10:3d} %  {100 * sum(hits) / len(hits):5.1f} %  {len(hits):6d}")
    print(
        f"the pin measured next: said to settle {100 * promised / steps:.1f} %, settled {100 * settled / steps:.1f} %"
    )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 4000, int(sys.argv[2]) if len(sys.argv) > 2 else 20261125)
