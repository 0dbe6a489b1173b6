"""How far a worn bore may be from the oval that is fitted to it.

A pin wears one wall to its own circle, so the diameter grows more like the cosine itself than like the cosine of
twice the angle: on top of the oval of amplitude A stands a wave of four lobes, in step with it, of about a tenth of
A (plane geometry of two circles; bores 20 to 40 mm, pins 0.05 to 0.8 mm smaller, wear up to 1 mm). A bore worn all
round or by a load that turns is an oval without it. Four lines see part of the wave. The sizes stay those of the
oval; what the wave may add or take is a part of their doubt.
"""

import math
from collections.abc import Sequence

from fieldlog.measure.estimate import Part

LOBES_OF_AMPLITUDE = 0.10  # the wave's root mean square over the amplitude, where there is one: own working, see above
SHARE_WITH_WAVE = 0.3  # bores that have one: chosen so that ovals and worn walls are both held 95 times in 100

Row = tuple[float, float, float]


def not_oval_part(
    angles_deg: Sequence[float],
    residuals_mm: Sequence[float],
    inverse: tuple[Row, Row, Row],
    fitted: tuple[float, float],
    sd_mm: float,
    *,
    is_largest: bool,
) -> Part:
    """Return what four lobes in step with the oval may do to its largest or its smallest size.

    The part is the root mean square of the wave by Bayes' rule: beforehand there is none, or, in `SHARE_WITH_WAVE`
    of all bores, one of `LOBES_OF_AMPLITUDE` times the amplitude, normally distributed; the residuals then tell.

    Args:
        angles_deg: the line of each reading.
        residuals_mm: the residuals from the oval.
        inverse: the inverse of its normal matrix.
        fitted: its two components a and b in mm.
        sd_mm: the standard deviation of one reading.
        is_largest: for the largest size, else for the smallest.
    """
    amplitude_mm = math.hypot(*fitted)
    axis = math.atan2(fitted[1], fitted[0]) / 2
    waves = [math.cos(4 * (math.radians(angle) - axis)) for angle in angles_deg]
    rows = [_row(math.radians(angle)) for angle in angles_deg]
    sums = [math.fsum(row[k] * wave for row, wave in zip(rows, waves, strict=True)) for k in range(3)]
    taken = tuple(math.fsum(inverse[k][j] * sums[j] for j in range(3)) for k in range(3))
    left = [wave - _dot(row, taken) for row, wave in zip(rows, waves, strict=True)]
    seen = math.fsum(part**2 for part in left) / max(sd_mm, 1e-6) ** 2
    told = math.fsum(part * miss for part, miss in zip(left, residuals_mm, strict=True)) / max(sd_mm, 1e-6) ** 2
    wave_mm = _wave_mm(seen, told, LOBES_OF_AMPLITUDE * amplitude_mm)
    at = axis if is_largest else axis + math.pi / 2
    u_mm = abs(1 - _dot(_row(at), taken)) * wave_mm
    source = "a wall worn by its pin is not quite an oval; judged from its ovality and how the lines fit"
    return Part("shape other than an oval", u_mm, math.inf, source)


def _wave_mm(seen: float, told: float, expected_mm: float) -> float:
    """Return the root mean square of the wave, with `seen` the weight of what the lines show, `told` / `seen` it."""
    if expected_mm <= 0:
        return 0.0
    known = seen + 1 / expected_mm**2
    log_odds = 0.5 * (told**2 / known - math.log(known * expected_mm**2))
    odds = SHARE_WITH_WAVE / (1 - SHARE_WITH_WAVE) * math.exp(min(log_odds, 100.0))
    return math.sqrt(odds / (1 + odds) * ((told / known) ** 2 + 1 / known))


def _row(angle: float) -> Row:
    return 1.0, math.cos(2 * angle), math.sin(2 * angle)


def _dot(row: Sequence[float], other: Sequence[float]) -> float:
    return math.fsum(a * b for a, b in zip(row, other, strict=True))
