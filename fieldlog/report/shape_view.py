"""A hole in depth and its walls, in lines: the differences with their doubt, then what they often mean."""

from fieldlog.measure.depth import DepthShape, Gap, Pattern
from fieldlog.measure.estimate import Estimate
from fieldlog.measure.ligaments import Wall, WallGap
from fieldlog.measure.rounding import change_text, size_text
from fieldlog.records.quantities import Units
from fieldlog.report.lines import Line, heading, wrapped
from fieldlog.wear.shapes import HoleShape


def shape_lines(shape: HoleShape, units: Units, width: int) -> tuple[Line, ...]:
    """Return everything known about depth and walls; nothing when neither was measured."""
    lines: list[Line] = []
    if shape.depth is not None:
        lines += [heading("In depth"), *depth_lines(shape.depth, units, width)]
    if shape.walls:
        lines += [heading("Metal beside the hole"), *wall_lines(shape, units, width)]
    if shape.hints:
        lines.append(heading("What it often means (a hint, not a verdict)"))
        for hint in shape.hints:
            lines += wrapped(f"{hint[:1].upper()}{hint[1:]}.", width)
    return tuple(lines)


def depth_lines(depth: DepthShape, units: Units, width: int) -> tuple[Line, ...]:
    """Return the pattern and each face less another."""
    lines: list[Line] = []
    if depth.gaps:
        pattern = depth.pattern.value
        lines += wrapped(f"{pattern[:1].upper()}{pattern[1:]}.", width, "", "" if _is_alike(depth) else "warn")
    for gap in depth.gaps:
        lines += wrapped(_gap_text(gap, units), width)
    if depth.missing:
        lines += wrapped(f"{depth.missing[:1].upper()}{depth.missing[1:]}.", width, "", "dim")
    return tuple(lines)


def depth_summary(depth: DepthShape, units: Units, width: int) -> tuple[Line, ...]:
    """Return the depth in as few lines as it takes, for a page that has much to show."""
    if not depth.gaps:
        return wrapped(f"Depth: {depth.missing}.", width, "", "dim")
    proved = [gap for gap in depth.gaps if gap.sign] or list(depth.gaps)[-1:]
    gaps = ", ".join(f"{gap.name} at {gap.clock} {change_text(gap.size, units)}" for gap in proved)
    return wrapped(f"Depth: {depth.pattern.value}; {gaps}", width, "", "" if _is_alike(depth) else "warn")


def _is_alike(depth: DepthShape) -> bool:
    return depth.pattern is Pattern.ALIKE


def _gap_text(gap: Gap, units: Units) -> str:
    proved = {1: f"{gap.first} larger", -1: f"{gap.first} smaller", 0: "not proved"}[gap.sign]
    return f"{gap.name} at {gap.clock}: {change_text(gap.size, units)}, {proved}"


def wall_lines(shape: HoleShape, units: Units, width: int) -> tuple[Line, ...]:
    """Return each wall, then which one wore as far as that is proved."""
    lines = list(wrapped(", ".join(_wall_text(wall, units) for wall in shape.walls), width))
    for gap in shape.opposite:
        lines += wrapped(_opposite_text(gap, units), width)
    for gap in shape.since:
        lines += wrapped(_since_text(gap, units), width)
    if not shape.opposite and not shape.since:
        lines += wrapped("Measure the opposite wall too; one wall alone tells nothing.", width, "", "dim")
    return tuple(lines)


def _wall_text(wall: Wall, units: Units) -> str:
    return f"{wall.clock}: {size_text(wall.size, units)}"


def _opposite_text(gap: WallGap, units: Units) -> str:
    size = size_text(_positive(gap), units)
    if gap.is_proved:
        return f"{gap.clock} is {size} thinner than {gap.other}: that wall wore, if both were alike when new."
    return f"{gap.clock} and {gap.other} are alike within error ({size} apart): both wore alike, or neither."


def _since_text(gap: WallGap, units: Units) -> str:
    if not gap.is_proved:
        return f"{gap.clock} since it was first measured: {change_text(gap.size, units)}, not proved."
    thinner = gap.size.value_mm < 0
    word, rest = ("thinner", ".") if thinner else ("thicker", ", which cannot be: measure it again.")
    return f"{gap.clock} is {size_text(_positive(gap), units)} {word} than when first measured{rest}"


def _positive(gap: WallGap) -> Estimate:
    return Estimate(abs(gap.size.value_mm), gap.size.parts)
