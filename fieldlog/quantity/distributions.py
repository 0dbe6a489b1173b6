"""Student's t, Fisher's F and the normal distribution, so that no numeric library is needed at the machine.

All rests on one thing, the two tails of F as logarithms: t squared with nu degrees of freedom is F with 1
and nu. Working with logarithms keeps the far tails to their full relative accuracy.

The factor k that makes 95 % of a sum of doubts, when limits of error (rectangles) are among them.

k is t, less where limits of error dominate (`quantity/distributions.py`). Plain Welch-Satterthwaite t takes the sum
to be a bell; with a caliper's limit as the largest part its "95 %" covered 98 to 100 % of simulated days. k is
therefore the shape factor of the bell and its rectangles (exact; EA-4/02 S10's trapezoid and JCGM 101's sums of
rectangles come out to their printed digits) times t over the normal 1.96. Not the full propagation of JCGM 101 with a
t of two degrees of freedom, which covers 97 % and more with three repeats. Where scatter dominates it stays t, so
published budgets of bell-shaped parts (GUM H.1, TN 1297) and the worked repeats with a bell-shaped limit (U 0.039,
0.059, 0.060) stand as they are; a rectangular limit of 0.03 gives 0.036 for the first.
"""

import math
from collections.abc import Iterable
from functools import lru_cache
from itertools import product

from fieldlog.errors import MeasureError

_MANY_DOF = 1e6  # above this t is taken from the normal distribution by series in 1/dof
_TINY = 1e-300
_CLOSE = 1e-15
_MOST_TERMS = 20_000
_MOST_STEPS = 200
_SMALL_STEP = 1e-8  # the next one would be about its square
_HALF_LOG_TWO_PI = 0.5 * math.log(2 * math.pi)
_STIRLING_FROM = 16.0


def normal_cdf(z: float) -> float:
    """Return the share of the standard normal distribution below `z`."""
    return 0.5 * math.erfc(-z / math.sqrt(2))


@lru_cache(maxsize=512)
def normal_quantile(p: float) -> float:
    """Return the point of the standard normal distribution with the share `p` below it.

    First guess by Abramowitz & Stegun 26.2.23, then Halley's steps on the error function.
    """
    _check_share(p)
    tail = min(p, 1 - p)
    w = math.sqrt(-2 * math.log(tail))
    z = w - (2.515517 + w * (0.802853 + w * 0.010328)) / (1 + w * (1.432788 + w * (0.189269 + w * 0.001308)))
    for _ in range(3):
        miss = (tail - normal_cdf(-z)) * math.sqrt(2 * math.pi) * math.exp(z * z / 2)
        z -= miss / (1 + z * miss / 2)
    return z if p > 0.5 else -z


@lru_cache(maxsize=2048)
def f_cdf(f: float, dof_top: float, dof_bottom: float) -> float:
    """Return the share of Fisher's F distribution below `f`, for finite degrees of freedom above 0."""
    _check_dof(dof_top, dof_bottom)
    return math.exp(_log_f_tails(math.log(f), dof_top, dof_bottom)[0]) if f > 0 else 0.0


@lru_cache(maxsize=2048)
def f_quantile(p: float, dof_top: float, dof_bottom: float) -> float:
    """Return the point of Fisher's F distribution with the share `p` below it, finite degrees of freedom."""
    _check_share(p)
    _check_dof(dof_top, dof_bottom)
    return _exp(_log_f_quantile(p, 1 - p, dof_top, dof_bottom, 0.0))


@lru_cache(maxsize=2048)
def t_cdf(t: float, dof: float) -> float:
    """Return the share of Student's t distribution below `t`; any degrees of freedom above 0, also infinite."""
    _check_dof(dof)
    if t == 0:
        return 0.5
    if dof > _MANY_DOF:
        return normal_cdf(_normal_from_t(t, dof))
    log_inside, log_outside = _log_f_tails(2 * math.log(abs(t)), 1.0, dof)
    return 0.5 * math.exp(log_outside) if t < 0 else 0.5 + 0.5 * math.exp(log_inside)


@lru_cache(maxsize=4096)
def t_quantile(p: float, dof: float) -> float:
    """Return the point of Student's t distribution with the share `p` below it; infinite dof is the normal."""
    _check_share(p)
    _check_dof(dof)
    if p == 0.5:
        return 0.0
    z = abs(normal_quantile(p))
    t = _t_from_normal(z, dof)
    if not _series_serves(z, dof):
        start = 2 * math.log(t) if dof >= 3 else 0.0
        inside = abs(2 * p - 1)
        t = _exp(0.5 * _log_f_quantile(inside, 2 * min(p, 1 - p), 1.0, dof, start))
    return t if p > 0.5 else -t


def _check_share(p: float) -> None:
    if not 0 < p < 1:
        raise MeasureError(f"A share of {p} has no quantile; it must lie between 0 and 1.")


def _check_dof(*dofs: float) -> None:
    if not all(dof > 0 for dof in dofs):
        raise MeasureError("No spread can be judged with no degrees of freedom; take more readings.")


def _exp(log_value: float) -> float:
    return math.exp(log_value) if log_value < 709 else math.inf


def _series_serves(z: float, dof: float) -> bool:
    return dof > 1e4 and z * z < dof / 200


def _t_from_normal(z: float, dof: float) -> float:
    """Return t at the same share as `z`, by the series in 1/dof of Abramowitz & Stegun 26.7.5."""
    zz = z * z
    first = (zz + 1) / 4
    second = ((5 * zz + 16) * zz + 3) / 96
    third = (((3 * zz + 19) * zz + 17) * zz - 15) / 384
    fourth = ((((79 * zz + 776) * zz + 1482) * zz - 1920) * zz - 945) / 92160
    return z * (1 + (first + (second + (third + fourth / dof) / dof) / dof) / dof)


def _normal_from_t(t: float, dof: float) -> float:
    """Return z at the same share as `t`: the same series turned round, good to 1e-9 above 1e6 dof."""
    tt = t * t
    first = (tt + 1) / 4
    second = ((13 * tt + 8) * tt + 3) / 96
    third = (((35 * tt + 19) * tt + 1) * tt - 15) / 384
    return t * (1 - (first - (second - third / dof) / dof) / dof)


def _log_f_quantile(lower: float, upper: float, dof_top: float, dof_bottom: float, start: float) -> float:
    """Return log f with the share `lower` below and `upper` above it.

    Newton's steps on the logarithm of the smaller share against log f: that curve is concave and straight
    at its ends, so the steps settle from any start.
    """
    side, share = (0, lower) if lower < upper else (1, upper)
    log_f = start
    for _ in range(_MOST_STEPS):
        log_share = _log_f_tails(log_f, dof_top, dof_bottom)[side]
        log_slope = _log_power(log_f, dof_top, dof_bottom) - log_share
        step = (math.log(share) - log_share) * _exp(-log_slope)
        log_f += step if side == 0 else -step
        if abs(step) < _SMALL_STEP * max(1.0, abs(log_f)):
            break
    return log_f


def _log_f_tails(log_f: float, dof_top: float, dof_bottom: float) -> tuple[float, float]:
    """Return the logarithms of the shares of F below and above exp(log_f)."""
    a, b = dof_top / 2, dof_bottom / 2
    below = _logistic(log_f + math.log(dof_top / dof_bottom))
    above = _logistic(-log_f - math.log(dof_top / dof_bottom))
    log_power = _log_power(log_f, dof_top, dof_bottom)
    if below < (a + 1) / (a + b + 2):
        log_lower = min(0.0, log_power - math.log(a) + math.log(_fraction(a, b, below)))
        return log_lower, _log_rest(log_lower)
    log_upper = min(0.0, log_power - math.log(b) + math.log(_fraction(b, a, above)))
    return _log_rest(log_upper), log_upper


def _logistic(v: float) -> float:
    return 1 / (1 + math.exp(-v)) if v > -700 else math.exp(v)


def _log_rest(log_share: float) -> float:
    rest = -math.expm1(log_share)
    return math.log(rest) if rest > 0 else -math.inf


def _log_power(log_f: float, dof_top: float, dof_bottom: float) -> float:
    """Return the logarithm of x^a y^b / B(a, b), with a and b half the dof and x + y = 1.

    Written about the point f = 1 (C. Loader, Fast and accurate computation of binomial probabilities, 2000),
    so that nothing large is taken from something large at many degrees of freedom.
    """
    a, b = dof_top / 2, dof_bottom / 2
    top, bottom = a / (a + b), b / (a + b)
    distance = a * _log_mean(-log_f, top, bottom) + b * _log_mean(log_f, bottom, top)
    correction = _stirling_rest(a + b) - _stirling_rest(a) - _stirling_rest(b)
    return 0.5 * math.log(a * bottom / (2 * math.pi)) - distance + correction


def _log_mean(v: float, one: float, weight: float) -> float:
    """Return log(one + weight * exp(v)), where `one` and `weight` add up to 1."""
    if abs(v) < 1:
        return math.log1p(weight * math.expm1(v))
    if v > 0:
        return v + math.log(weight + one * math.exp(-v))
    return math.log(one + weight * math.exp(v))


@lru_cache(maxsize=512)
def _stirling_rest(z: float) -> float:
    """Return log gamma(z) less its leading Stirling terms (DLMF 5.11.1)."""
    if z < _STIRLING_FROM:
        return math.lgamma(z) - (z - 0.5) * math.log(z) + z - _HALF_LOG_TWO_PI
    zz = z * z
    return (1 - (1 / 30 - (1 / 105 - 1 / (140 * zz)) / zz) / zz) / (12 * z)


def _fraction(a: float, b: float, x: float) -> float:
    """Return the continued fraction of the incomplete beta function (DLMF 8.17.22), by Lentz's method."""
    c, d = 1.0, 1 / _off_zero(1 - (a + b) * x / (a + 1))
    value = d
    for m in range(1, _MOST_TERMS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        d = 1 / _off_zero(1 + even * d)
        c = _off_zero(1 + even / c)
        value *= c * d
        d = 1 / _off_zero(1 + odd * d)
        c = _off_zero(1 + odd / c)
        value *= c * d
        if abs(c * d - 1) < _CLOSE:
            break
    return value


def _off_zero(value: float) -> float:
    return value if abs(value) > _TINY else _TINY


_NEGLIGIBLE = 1e-3  # a share of u this small changes k by less than 1e-5
_SMALL_RECTANGLE = 0.05
_MOST_RECTANGLES = 3
_MOST_BISECTIONS = 60
_CLOSE_FACTOR = 1e-9
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
    for _ in range(_MOST_BISECTIONS):
        share, density = _share_and_density(y, bell, rectangles)
        low, high = (y, high) if share < wanted else (low, y)
        step = (wanted - share) / density if density > 0 else math.inf
        y = y + step if low <= y + step <= high else (low + high) / 2
        if abs(step) < _CLOSE_FACTOR:
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
