"""The hill tractor's links: a top link with a groove, two lift rods, taped and counted on two days.

The dice here are its own, so that nothing else in the sample changes when this does.
"""

import random
from collections.abc import Sequence
from typing import Protocol

Block = tuple[str, dict[str, object]]
JOINTS: list[dict[str, object]] = [
    {"id": "lift-rod-high", "name": "Left lift rod, upper end", "kind": "hitch", "pin": "19 mm"},
    {"id": "right-rod-high", "name": "Right lift rod, upper end", "kind": "hitch", "pin": "19 mm"},
    {"id": "right-rod-low", "name": "Right lift rod, lower end", "kind": "hitch", "pin": "22 mm"},
]
HOLES: list[dict[str, object]] = [
    {"id": "rod-high-eye", "joint": "lift-rod-high", "name": "forged eye"},
    {"id": "right-high-eye", "joint": "right-rod-high", "name": "forged eye"},
    {"id": "right-low-eye", "joint": "right-rod-low", "name": "fork"},
]
TOP_LINK: dict[str, object] = {
    "thread": "M27x3",
    "near_hand": "right",
    "far_hand": "left",
    "near_thread": "190 mm",
    "far_thread": "190 mm",
    "body": "385 mm",
    "open_stop": "groove",
}
RIGHT_ROD: dict[str, object] = {
    "id": "right-lift-rod",
    "name": "Right lift rod",
    "position": "lift rod",
    "kind": "screw",
    "near_hole": "right-high-eye",
    "far_hole": "right-low-eye",
    "thread": "M20x2.5",
    "near_hand": "right",
    "far_hand": "none",
    "near_thread": "130 mm",
    "open_stop": "thread",
    "notes": "Levelling rod: the upper end screws, the fork below swivels.",
}
_SIZES_MM = {"rod-high-eye": 19.45, "right-high-eye": 19.50, "right-low-eye": 22.60}
_CLOCKS = ("12", "1:30", "3", "4:30")


class _Round(Protocol):
    date: str
    minute: int
    blocks: list[Block]


def add_links(rounds: Sequence[_Round], seed: int) -> None:
    """Add what was measured on the links in the spring of 2025 and the autumn of 2026."""
    dice = random.Random(f"{seed} links")
    for one in rounds:
        if one.date == "2025-04-05":
            _add(one, [*_holes(dice), *_taped("top-link", {"closed": 560.4, "open": 811.6}, 40.2)])
        if one.date == "2026-11-03":
            _add(one, [*_holes(dice), *_top_link(), *_right_rod()])


def _holes(dice: random.Random) -> list[Block]:
    return [
        ("bore", {"hole": hole, "size": f"{size + dice.gauss(0, 0.013):.2f} mm", "clock": clock})
        for hole, size in _SIZES_MM.items()
        for clock in _CLOCKS
    ]


def _taped(link: str, states: dict[str, float], holes_mm: float) -> list[Block]:
    """Outside and inside, to the nearest sixteenth."""
    return [
        ("length", {"link": link, "size": sixteenths(size_mm + half * holes_mm / 2), "way": way, "state": state})
        for state, size_mm in states.items()
        for way, half in (("outside", 1), ("inside", -1))
    ]


def _top_link() -> list[Block]:
    out = {"closed": ("12 mm", "13 mm"), "open": ("138 mm", "139 mm")}
    found: list[Block] = [
        ("thread", {"link": "top-link", "exposed": size, "end": end, "state": state})
        for state, sizes in out.items()
        for end, size in zip(("near", "far"), sizes, strict=True)
    ]
    return [*found, ("turns", {"link": "top-link", "turns": 42})]


def _right_rod() -> list[Block]:
    found = _taped("right-lift-rod", {"closed": 430.0, "open": 520.0}, 42.1)
    for state, size in (("closed", "14 mm"), ("open", "104 mm")):
        found.append(("thread", {"link": "right-lift-rod", "exposed": size, "end": "near", "state": state}))
    return found


def _add(one: _Round, blocks: list[Block]) -> None:
    """Put the blocks behind what the round has, a minute after each other."""
    minute = one.minute + 15
    for number, (kind, values) in enumerate(blocks):
        at = f"{(minute + number) // 60:02d}:{(minute + number) % 60:02d}:30"
        one.blocks.append((kind, {**values, "at": at}))


def sixteenths(length_mm: float) -> str:
    """A length as read off the tape, in lowest terms."""
    whole, top = divmod(round(length_mm / 25.4 * 16), 16)
    bottom = 16
    while top and top % 2 == 0:
        top, bottom = top // 2, bottom // 2
    return f"{whole} {top}/{bottom} in" if top else f"{whole} in"
