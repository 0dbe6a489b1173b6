"""Lines and curves through points against certified and published results.

Norris and Pontius: NIST StRD linear regression (public domain, certified digits). The thermometer: GUM (JCGM
100:2008) H.3, data as published, results from memory and recomputed. The worked trend: five days of a joint with
the uncertainty 0.04 mm on each, its interval found by simulation, so good to about half a percent.
"""

import pytest

from fieldlog.measure.crossing import crossing, slope_doubt
from fieldlog.measure.line_fit import Fit, Point, fit_points

NORRIS_X = """
    0.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777.0 558.2 0.4 0.6 775.5 666.9 338.0 447.5 11.6 556.0 228.1
    995.8 887.6 120.2 0.3 0.3 556.8 339.1 887.2 999.0 779.0 11.1 118.3 229.2 669.1 448.9 0.5
"""
NORRIS_Y = """
    0.1 338.8 118.1 888.0 9.2 228.1 668.5 998.5 449.1 778.9 559.2 0.3 0.1 778.1 668.8 339.3 448.9 10.8 557.7 228.3
    998.0 888.8 119.6 0.3 0.6 557.6 339.3 888.0 998.5 778.9 10.2 117.6 228.9 668.4 449.2 0.2
"""
PONTIUS_Y = """
    0.11019 0.21956 0.32949 0.43899 0.54803 0.65694 0.76562 0.87487 0.98292 1.09146 1.20001 1.30822 1.41599 1.52399
    1.63194 1.73947 1.84646 1.95392 2.06128 2.16844 0.11052 0.22018 0.32939 0.43886 0.54798 0.65739 0.76596 0.87474
    0.98300 1.09150 1.20004 1.30818 1.41613 1.52408 1.63159 1.73965 1.84696 1.95445 2.06177 2.16829
"""
THERMOMETER_T = "21.521 22.012 22.512 23.003 23.507 23.999 24.513 25.002 25.503 26.010 26.511"
THERMOMETER_B = "-0.171 -0.169 -0.166 -0.159 -0.164 -0.165 -0.156 -0.157 -0.159 -0.161 -0.160"
TREND_H = "0 120 260 410 560"
TREND_MM = "0.21 0.29 0.38 0.50 0.58"


def numbers(text: str) -> list[float]:
    """Return the numbers of a block of text."""
    return [float(word) for word in text.split()]


def plain(xs: list[float], ys: list[float], *, is_curve: bool = False) -> Fit:
    """Fit points whose scatter only the residuals tell."""
    points = [Point(x, y, 1.0) for x, y in zip(xs, ys, strict=True)]
    return fit_points(points, "curve" if is_curve else "line", is_scale_known=False)


def trend(days: int) -> Fit:
    """The worked trend from its first days, with 0.04 mm known on each."""
    pairs = zip(numbers(TREND_H)[:days], numbers(TREND_MM)[:days], strict=True)
    return fit_points([Point(x, y, 0.04) for x, y in pairs])


def test_norris() -> None:
    """Certified line, its standard deviations and residual standard deviation, to eleven digits and more."""
    fit = plain(numbers(NORRIS_X), numbers(NORRIS_Y))
    line = fit.straight(0.0)
    assert line.level_mm == pytest.approx(-0.262323073774029, rel=1e-11)
    assert line.slope == pytest.approx(1.00211681802045, rel=1e-13)
    assert line.level_variance**0.5 == pytest.approx(0.232818234301152, rel=1e-11)
    assert line.slope_u == pytest.approx(0.429796848199937e-03, rel=1e-11)
    assert fit.scale**0.5 == pytest.approx(0.884796396144373, rel=1e-11)
    assert fit.dof == 34


def test_pontius() -> None:
    """Certified parabola; b2 is eight orders smaller than b1."""
    fit = plain([150000.0 * (i + 1) for i in range(20)] * 2, numbers(PONTIUS_Y), is_curve=True)
    b2, u_b2 = fit.extra
    at_zero = fit.straight(0.0)
    assert at_zero.level_mm == pytest.approx(0.673565789473684e-03, rel=1e-8)
    assert at_zero.slope == pytest.approx(0.732059160401003e-06, rel=1e-11)
    assert b2 == pytest.approx(-0.316081871345029e-14, rel=1e-9)
    assert at_zero.level_variance**0.5 == pytest.approx(0.107938612033077e-03, rel=1e-8)
    assert at_zero.slope_u == pytest.approx(0.157817399981659e-09, rel=1e-8)
    assert u_b2 == pytest.approx(0.486652849992036e-16, rel=1e-8)
    assert fit.scale**0.5 == pytest.approx(0.205177424076185e-03, rel=1e-8)
    assert fit.is_extra_proved


def test_gum_h3_thermometer() -> None:
    """Intercept and slope about 20 degrees, their uncertainties, and the line read off at 30 degrees."""
    line = plain(numbers(THERMOMETER_T), numbers(THERMOMETER_B)).straight(20.0)
    assert line.level_mm == pytest.approx(-0.1712, abs=0.00005)
    assert line.level_variance**0.5 == pytest.approx(0.0029, abs=0.00005)
    assert line.slope == pytest.approx(0.00218, abs=0.000005)
    assert line.slope_u == pytest.approx(0.00067, abs=0.000005)
    assert line.correlation_at(20.0) == pytest.approx(-0.930, abs=0.0005)
    assert line.value_at(30.0) == pytest.approx(-0.1494, abs=0.00005)
    assert line.u_at(30.0) == pytest.approx(0.0041, abs=0.00005)


def test_worked_trend_of_five_days() -> None:
    """0.067 give or take 0.009 mm per 100 h (one standard uncertainty); 1.0 mm at 1172 h, 5 to 95 %: 1008 to 1430."""
    line = trend(5).straight(270.0)
    assert 100 * line.slope == pytest.approx(0.067, abs=0.0005)
    assert 100 * line.slope_u == pytest.approx(0.009, abs=0.0005)
    found = crossing(line, 1.0, share=0.90)
    assert found is not None
    assert found.at == pytest.approx(1172, abs=1)
    assert found.earliest == pytest.approx(1008, rel=0.005)
    assert found.latest == pytest.approx(1430, rel=0.005)


def test_worked_trend_of_three_days_and_of_two() -> None:
    """Three days: 820 to 2500 h. Two days: 0.067 give or take 0.047, so perhaps never: no interval."""
    found = crossing(trend(3).straight(0.0), 1.0, share=0.90)
    assert found is not None
    assert found.earliest == pytest.approx(820, rel=0.01)
    assert found.latest == pytest.approx(2500, rel=0.01)
    two = trend(2).straight(0.0)
    assert 100 * two.slope_u == pytest.approx(0.047, abs=0.0005)
    assert slope_doubt(two, 0.90) >= 1
    assert crossing(two, 1.0, share=0.90) is None


@pytest.mark.parametrize(
    ("reading", "share", "at", "earliest", "latest"),
    [(104.0, 0.95, 103.995, 103.40405, 104.58946), (100.0, 0.90, 100.112318, 99.62940, 100.58850)],
)
def test_thermostat(reading: float, share: float, at: float, earliest: float, latest: float) -> None:
    """Inverse prediction, F. A. Graybill & H. K. Iyer, Regression Analysis (1996) p. 431: 103.4-104.6, 99.63-100.59.

    The page prints two decimals; the further ones are a recomputation by the closed formula.
    """
    ys = numbers("95.71 98.16 99.52 102.09 103.79 106.18 108.14 110.21")
    fit = plain([float(x) for x in range(96, 112, 2)], ys)
    found = crossing(fit.straight(103.0), reading, reading_u_mm=fit.scale**0.5, share=share)
    assert found is not None
    assert found.at == pytest.approx(at, abs=0.0005)
    assert found.earliest == pytest.approx(earliest, abs=0.00001)
    assert found.latest == pytest.approx(latest, abs=0.00001)


def test_galactose() -> None:
    """Kutner et al., Applied Linear Statistical Models, 4.6, from memory: new Y 6.52 gives 6.509, 6.13 to 6.89.

    Only its sums are printed; twelve points with the same mean, spread, line and residual are made up here.
    """
    mean, sxx, b0, b1, mse = 5.5, 135.0, -0.100, 1.017, 0.0272
    step = (sxx / 12) ** 0.5
    off = (10 * mse / 12) ** 0.5
    xs = [mean + step * (-1) ** (n // 6) for n in range(12)]
    ys = [b0 + b1 * x + off * (-1) ** n for n, x in enumerate(xs)]
    fit = plain(xs, ys)
    assert fit.scale == pytest.approx(mse, rel=1e-9)
    found = crossing(fit.straight(mean), 6.52, reading_u_mm=fit.scale**0.5)
    assert found is not None
    assert found.at == pytest.approx(6.509, abs=0.0005)
    assert (found.earliest, found.latest) == pytest.approx((6.13, 6.89), abs=0.005)


def test_nearly_flat_line_gives_no_crossing() -> None:
    """Hours 0 to 10 twice with a slope of 0.01 under a scatter of 0.5: no crossing is given, at any limit."""
    signs = [1, -1, -1, 1, 1, -1, -1, 1, 1, -1, 0]
    xs = [float(x) for x in range(11)] * 2
    ys = [3 + 0.01 * x + 0.5 * (signs[n % 11] if n < 11 else -signs[n % 11]) for n, x in enumerate(xs)]
    line = plain(xs, ys).straight(5.0)
    assert line.slope == pytest.approx(0.01)
    assert slope_doubt(line) > 1
    assert crossing(line, 4.0) is None
    assert crossing(line, 3.0) is None
