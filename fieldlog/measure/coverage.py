"""The factor k that makes 95 % of a sum of doubts, when limits of error (rectangles) are among them.

Student's t at the effective degrees of freedom (GUM, JCGM 100:2008, G.4) takes the sum to be bell-shaped. Where an
instrument's limit dominates it is not: k = 2 would then cover nearly everything. So k has two factors: the shape
of the sum, a bell and rectangles added up, as EA-4/02 does for its caliper (S10, two rectangles: a trapezoid); and
how well the scatter is known, t at the effective degrees of freedom over t at infinitely many. Without a rectangle
that is plain t; with nothing but rectangles it is the trapezoid.
"""

import math
from collections.abc import Iterable
from functools import lru_cache
from itertools import product

from fieldlog.measure.distributions import normal_cdf, normal_quantile, t_quantile

_NEGLIGIBLE = 1e-3  # a share of u this small changes k by less than 1e-5
_SMALL_RECTANGLE = 0.05
_MOST_RECTANGLES = 3
_MOST_STEPS = 60
_CLOSE = 1e-9
_SQRT_TWO_PI = math.sqrt(2 * math.pi)


def effective_dof(u: float, parts: Iterable[tuple[float, float]]) -> float:
    """Return the effective degrees of freedom of a sum by Welch-Satterthwaite (GUM G.4.1).

    u^4 / sum(u_i^4 / dof_i), `parts` being pairs of standard uncertainty and degrees of freedom, all in the unit of
    `u`; infinite when nothing is uncertain. The parts have to be independent of each other.
    """
    below = sum(part_u**4 / dof for part_u, dof in parts if part_u > 0)
    return u**4 / below if below > 0 else math.inf


def coverage_factor(u: float, dof: float, half_widths: tuple[float, ...], probability: float) -> float:
    """Return k, so that plus and minus k u covers the share `probability`.

    Args:
        u: the combined standard uncertainty, in any unit, 0 or more.
        dof: its effective degrees of freedom, above 0.
        half_widths: the half-widths of the rectangles in it, in the same unit.
        probability: the share to cover, such as 0.95.
    """
    wanted = (1 + probability) / 2
    known = t_quantile(wanted, dof)
    if u <= 0 or max(half_widths, default=0.0) < _NEGLIGIBLE * u:
        return known
    return shape_factor(u, half_widths, probability) * known / normal_quantile(wanted)


def shape_factor(u: float, half_widths: tuple[float, ...], probability: float) -> float:
    """Return k for rectangles and a bell that together have the standard uncertainty `u`, all exactly known.

    The three largest rectangles count as such; smaller ones, and those that hardly show, are bell-shaped enough.
    """
    largest = sorted((a / u for a in half_widths), reverse=True)[:_MOST_RECTANGLES]
    rectangles = tuple(a for a in largest if a > _SMALL_RECTANGLE)
    bell = math.sqrt(max(1 - math.fsum(a * a / 3 for a in rectangles), 0.0))
    if bell < _NEGLIGIBLE and len(rectangles) < _MOST_RECTANGLES:
        first, second = (*rectangles, 0.0)[:2]
        return _trapezoid(first, second, probability)
    return _bell_and_rectangles(max(bell, _NEGLIGIBLE), rectangles, probability)


def _trapezoid(first: float, second: float, probability: float) -> float:
    """Return the half-width of the middle share of two rectangles added up, a lone one too (EA-4/02, S10).

    Between the corners at plus and minus `first` - `second` the density is flat; beyond it falls in a straight line.
    """
    if probability * first <= first - second:
        return probability * first
    return first + second - 2 * math.sqrt((1 - probability) * first * second)


@lru_cache(maxsize=4096)
def _bell_and_rectangles(bell: float, rectangles: tuple[float, ...], probability: float) -> float:
    """Return the half-width of the middle share of their sum, by Newton's steps held to an interval."""
    wanted = (1 + probability) / 2
    y = normal_quantile(wanted)
    low, high = 0.0, sum(rectangles) + bell * y
    for _ in range(_MOST_STEPS):
        share, density = _share_and_density(y, bell, rectangles)
        low, high = (y, high) if share < wanted else (low, y)
        step = (wanted - share) / density if density > 0 else math.inf
        y = y + step if low <= y + step <= high else (low + high) / 2
        if abs(step) < _CLOSE:
            break
    return y


def _share_and_density(y: float, bell: float, rectangles: tuple[float, ...]) -> tuple[float, float]:
    """Return the share of the sum below `y` and its density there.

    Adding a rectangle to a distribution takes the difference of its integral at both edges: so n rectangles take
    the n-th integral of the normal distribution at all their 2^n corners, each with the product of its signs.
    """
    order, area = len(rectangles), 2 ** len(rectangles) * math.prod(rectangles)
    shares, densities = [], []
    for signs in product((1, -1), repeat=order):
        corner = math.fsum(sign * a for sign, a in zip(signs, rectangles, strict=True))
        whole, one_less = _repeated_integrals((y + corner) / bell, order)
        shares.append(math.prod(signs) * whole)
        densities.append(math.prod(signs) * one_less)
    return bell**order * math.fsum(shares) / area, bell ** (order - 1) * math.fsum(densities) / area


def _repeated_integrals(z: float, order: int) -> tuple[float, float]:
    """Return the normal distribution integrated `order` times, and once less.

    I(n) = (z I(n - 1) + I(n - 2)) / n, from the density as I(-1) and the share as I(0) (DLMF 7.18.7).
    """
    before, now = math.exp(-z * z / 2) / _SQRT_TWO_PI, normal_cdf(z)
    for n in range(1, order + 1):
        before, now = now, (z * now + before) / n
    return now, before
