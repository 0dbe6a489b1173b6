"""Published outlier tests: NIST/SEMATECH e-Handbook 1.3.5.17 (Grubbs, Rosner), ISO 16269-4:2010 4.3.2.

The code follows the handbook's critical values; where ISO prints others the test says so.
"""

import math

import pytest
from scipy import stats

from fieldlog.measure.suspect import ceiling, generalised_esd, grubbs, grubbs_critical, stand_apart

URANIUM = (199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57)
ISO_20 = (
    -2.21, -1.84, -0.95, -0.91, -0.36, -0.19, -0.11, -0.10, 0.18, 0.30,
    0.43, 0.51, 0.64, 0.67, 0.93, 1.22, 1.35, 1.73, 5.80, 12.60,
)  # fmt: skip
# the 54 values are from memory; R and lambda agree with what the handbook prints (truncated)
ROSNER_54 = (
    -0.25, 0.68, 0.94, 1.15, 1.20, 1.26, 1.26, 1.34, 1.38, 1.43, 1.49, 1.49, 1.55, 1.56, 1.58, 1.65, 1.69, 1.70,
    1.76, 1.77, 1.81, 1.91, 1.94, 1.96, 1.99, 2.06, 2.09, 2.10, 2.14, 2.15, 2.23, 2.24, 2.26, 2.35, 2.37, 2.40,
    2.47, 2.54, 2.62, 2.64, 2.90, 2.92, 2.92, 2.93, 3.21, 3.26, 3.30, 3.59, 3.68, 4.30, 4.64, 5.34, 5.42, 6.01,
)  # fmt: skip
# n: one-sided 5 %, two-sided 5 %, one-sided 1 %, two-sided 1 %; published to 3-4 digits for n up to 20
GRUBBS_TABLE = {
    3: (1.1531, 1.1543, 1.1546, 1.1547),
    4: (1.4625, 1.4813, 1.4925, 1.4963),
    5: (1.6714, 1.7150, 1.7489, 1.7637),
    6: (1.8221, 1.8871, 1.9442, 1.9728),
    7: (1.9381, 2.0200, 2.0973, 2.1391),
    8: (2.0317, 2.1266, 2.2208, 2.2744),
    9: (2.1096, 2.2150, 2.3231, 2.3868),
    10: (2.1761, 2.2900, 2.4097, 2.4821),
    12: (2.2850, 2.4116, 2.5494, 2.6357),
    15: (2.4090, 2.5483, 2.7049, 2.8061),
    20: (2.5566, 2.7082, 2.8838, 3.0008),
    25: (2.6629, 2.8217, 3.0086, 3.1353),
    30: (2.7451, 2.9085, 3.1029, 3.2361),
    50: (2.9570, 3.1282, 3.3366, 3.4825),
    100: (3.2095, 3.3841, 3.6002, 3.7540),
}
ALPHAS = (0.10, 0.05, 0.02, 0.01)  # a one-sided test at 5 % is a two-sided one at 10 %


def test_grubbs_of_the_handbook() -> None:
    """1.3.5.17.1: G = 2.46876461121245; critical 2.031652 one-sided and 2.126645 two-sided; 245.57 stands apart."""
    step = grubbs(URANIUM)
    assert step.statistic == pytest.approx(2.46876461121245, abs=5e-14)
    assert step.critical == pytest.approx(2.126645, abs=5e-7)
    assert grubbs_critical(8, 0.10) == pytest.approx(2.031652, abs=5e-7)
    assert [URANIUM[found.index] for found in stand_apart([step])] == [245.57]


@pytest.mark.parametrize("count", GRUBBS_TABLE)
def test_grubbs_critical_values(count: int) -> None:
    """Published tables of Grubbs's critical values, to their four decimals."""
    found = tuple(grubbs_critical(count, alpha) for alpha in ALPHAS)
    assert found == pytest.approx(GRUBBS_TABLE[count], abs=5.1e-5)


def test_iso_example_with_the_critical_values_of_the_handbook() -> None:
    """ISO 16269-4:2010 4.3.2: R = 3.6559, 3.2634, 2.1761 and two outliers, 12.60 and 5.80.

    ISO prints lambda = 2.7058, 2.6785, 2.6492, by p = (1 - alpha/2)^(1/m). The handbook's p gives
    2.7082, 2.6809, 2.6516 for the same data, which is what is held to here; the answer is the same.
    """
    steps = generalised_esd(ISO_20, 3)
    assert [step.statistic for step in steps] == pytest.approx([3.6559, 3.2634, 2.1761], abs=5.1e-5)
    assert [step.critical for step in steps] == pytest.approx([2.7082, 2.6809, 2.6516], abs=5.1e-5)
    assert [ISO_20[step.index] for step in stand_apart(steps)] == [12.60, 5.80]
    iso = []
    for left in (20, 19, 18):
        t = float(stats.t.ppf((1 - 0.05 / 2) ** (1 / left), left - 2))
        iso.append((left - 1) * t / math.sqrt((left - 2 + t * t) * left))
    assert iso == pytest.approx([2.7058, 2.6785, 2.6492], abs=5.1e-5)
    assert all(theirs < step.critical for theirs, step in zip(iso, steps, strict=True))


def test_rosner_example_unmasks_three() -> None:
    """1.3.5.17.3 (data from memory): the first two steps are under their lambda, and still three stand apart."""
    steps = generalised_esd(ROSNER_54, 10)
    assert [step.statistic for step in steps[:5]] == pytest.approx([3.1189, 2.9430, 3.1794, 2.8102, 2.8156], abs=5.1e-5)
    assert [step.critical for step in steps[:5]] == pytest.approx([3.1588, 3.1514, 3.1439, 3.1362, 3.1282], abs=5.1e-5)
    assert steps[0].statistic < steps[0].critical
    assert steps[1].statistic < steps[1].critical
    assert sorted(ROSNER_54[step.index] for step in stand_apart(steps)) == [5.34, 5.42, 6.01]


def test_three_readings_meet_a_ceiling() -> None:
    """(n - 1) / sqrt(n) is 1.1547 for three readings, a hair over the critical 1.1543; four reach 1.5."""
    assert ceiling(3) == pytest.approx(1.1547, abs=5e-5)
    assert ceiling(3) - grubbs_critical(3) < 0.0005
    assert grubbs((19.42, 19.44, 29.0)).statistic == pytest.approx(ceiling(3), abs=1e-4)
    assert grubbs((0.0, 0.0, 0.0, 1.0)).statistic == pytest.approx(ceiling(4), abs=1e-12)
