"""What can be changed on a hitch to see what it does, and by how much at a time; nothing of it is stored."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Literal

from fieldlog.records.quantities import MM_PER_INCH, Units
from fieldlog.retrofit.look import heights_of
from fieldlog.retrofit.plane import CannotReach
from fieldlog.retrofit.setup import Choice, HitchSetup, Setting

Knob = Literal["height", "top link", "top hole", "mast hole", "rod hole", "rod", "cylinder"]
KNOB_WORDS: dict[Knob, str] = {
    "height": "ball height",
    "top link": "top link",
    "top hole": "top link hole",
    "mast hole": "mast hole",
    "rod hole": "lift rod hole",
    "rod": "one lift rod",
    "cylinder": "cylinder",
}
_INCH = float(MM_PER_INCH)


@dataclass(frozen=True, slots=True)
class Step:
    """How far one press goes, by the units the person thinks in."""

    height_mm: float
    length_mm: float


def step_of(units: Units) -> Step:
    """Return 25 mm and 5 mm, or an inch and a quarter of one."""
    return Step(25.0, 5.0) if units == "mm" else Step(_INCH, _INCH / 4)


def knobs(setup: HitchSetup) -> tuple[Knob, ...]:
    """Return what can be changed here; a hole only where there is another one."""
    found: list[Knob] = ["height", "top link"]
    rows: tuple[tuple[Knob, Sequence[object]], ...] = (
        ("top hole", setup.top_holes),
        ("mast hole", setup.mast_holes),
        ("rod hole", setup.rod_holes),
    )
    found += [knob for knob, choices in rows if len(choices) > 1]
    found.append("rod")
    if len(setup.ranges) > 1:
        found.append("cylinder")
    return tuple(found)


def turned(setup: HitchSetup, setting: Setting, knob: Knob, way: int, units: Units) -> Setting:
    """Return the setting after one press, kept within what the hitch and the links can do."""
    step = step_of(units)
    match knob:
        case "height":
            new = replace(setting, height_mm=_next(setting.height_mm, step.height_mm, way))
        case "top link":
            new = replace(setting, top_link_mm=_next(setting.top_link_mm, step.length_mm, way))
        case "rod":
            new = replace(setting, rod_mm=_next(setting.rod_mm, step.length_mm, way))
        case "top hole":
            new = replace(setting, top_hole=(setting.top_hole + way) % len(setup.top_holes))
        case "mast hole":
            new = replace(setting, mast_hole=(setting.mast_hole + way) % len(setup.mast_holes))
        case "rod hole":
            new = replace(setting, rod_hole=(setting.rod_hole + way) % len(setup.rod_holes))
        case _:
            new = replace(setting, link=(setting.link + way) % max(len(setup.ranges), 1))
    return kept_within(setup, new)


def kept_within(setup: HitchSetup, setting: Setting) -> Setting:
    """Return the setting with its height within the lift and its lengths within what the links can do."""
    heights = heights_of(setup, setting)
    if not isinstance(heights, CannotReach):
        setting = replace(setting, height_mm=min(max(setting.height_mm, heights[0]), heights[1]))
    if setting.link < len(setup.ranges):
        link = setup.ranges[setting.link]
        setting = replace(setting, top_link_mm=min(max(setting.top_link_mm, link.closed.mm), link.open.mm))
    if setup.rod_range is not None:
        rod = setup.rod_range
        setting = replace(setting, rod_mm=min(max(setting.rod_mm, rod.closed.mm), rod.open.mm))
    return replace(setting, top_link_mm=max(setting.top_link_mm, 1.0), rod_mm=max(setting.rod_mm, 1.0))


def name_of(choices: Sequence[Choice], number: int) -> str:
    """Return the name of a chosen hole."""
    return choices[number].name


def _next(value_mm: float, step_mm: float, way: int) -> float:
    """Go to the next whole step, so that odd beginnings come out even."""
    steps = value_mm / step_mm
    whole = round(steps)
    if abs(steps - whole) < 1e-6:
        return (whole + way) * step_mm
    return ((int(steps) + 1) if way > 0 else int(steps)) * step_mm
