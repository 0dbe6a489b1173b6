"""NIST StRD univariate sets: certified means and standard deviations (public domain, certified digits).

The numbers are read as Decimals, so a reference in exact fractions can be taken beside the float arithmetic.
"""

import math
from decimal import Decimal
from fractions import Fraction

import pytest

from fieldlog.measure.instruments import mean, sample_sd

MICHELSO = """
    299.85 299.74 299.90 300.07 299.93 299.85 299.95 299.98 299.98 299.88 300.00 299.98 299.93
    299.65 299.76 299.81 300.00 300.00 299.96 299.96 299.96 299.94 299.96 299.94 299.88 299.80
    299.85 299.88 299.90 299.84 299.83 299.79 299.81 299.88 299.88 299.83 299.80 299.79 299.76
    299.80 299.88 299.88 299.88 299.86 299.72 299.72 299.62 299.86 299.97 299.95 299.88 299.91
    299.85 299.87 299.84 299.84 299.85 299.84 299.84 299.84 299.89 299.81 299.81 299.82 299.80
    299.77 299.76 299.74 299.75 299.76 299.91 299.92 299.89 299.86 299.88 299.72 299.84 299.85
    299.85 299.78 299.89 299.84 299.78 299.81 299.76 299.81 299.79 299.81 299.82 299.85 299.87
    299.87 299.81 299.74 299.81 299.94 299.95 299.80 299.81 299.87
"""
LEW = """
    -213 -564 -35 -15 141 115 -420 -360 203 -338 -431 194 -220 -513 154 -125 -559 92 -21 -579 -52 99
    -543 -175 162 -457 -346 204 -300 -474 164 -107 -572 -8 83 -541 -224 180 -420 -374 201 -236 -531
    83 27 -564 -112 131 -507 -254 199 -311 -495 143 -46 -579 -90 136 -472 -338 202 -287 -477 169
    -124 -568 17 48 -568 -135 162 -430 -422 172 -74 -577 -13 92 -534 -243 194 -355 -465 156 -81 -578
    -64 139 -449 -384 193 -198 -538 110 -44 -577 -6 66 -552 -164 161 -460 -344 205 -281 -504 134 -28
    -576 -118 156 -437 -381 200 -220 -540 83 11 -568 -160 172 -414 -408 188 -125 -572 -32 139 -492
    -321 205 -262 -504 142 -83 -574 0 48 -571 -106 137 -501 -266 190 -391 -406 194 -186 -553 83 -13
    -577 -49 103 -515 -280 201 300 -506 131 -45 -578 -80 138 -462 -361 201 -211 -554 32 74 -533 -235
    187 -372 -442 182 -147 -566 25 68 -535 -244 194 -351 -463 174 -125 -570 15 72 -550 -190 172 -424
    -385 198 -218 -536 96
"""
WRONG_DIGIT_AT = 956  # the NIST file has 3 there, pi has 8


def pi_digits(count: int) -> list[int]:
    """Return the first digits of pi, 3 included, by Machin's formula in whole numbers."""
    unit = 10 ** (count + 19)  # twenty digits to spare

    def arccot(x: int) -> int:
        power, total, k = unit // x, 0, 1
        while power:
            total += power // k if k % 4 == 1 else -(power // k)
            power //= x * x
            k += 2
        return total

    pi = 4 * (4 * arccot(5) - arccot(239))
    half = count // 2 + 20
    head, tail = divmod(pi, 10**half)  # Python turns at most 4300 digits into text at once
    return [int(digit) for digit in f"{head}{tail:0{half}d}"[:count]]


def nist_pi_digits() -> list[Decimal]:
    """Return the data of the NIST set PiDigits: digits of pi with one of them wrong."""
    digits = pi_digits(5000)
    digits[WRONG_DIGIT_AT] = 3
    return [Decimal(digit) for digit in digits]


def numbers(text: str) -> list[Decimal]:
    """Return the numbers of a block of text."""
    return [Decimal(word) for word in text.split()]


SETS = {
    # name: data, certified mean, certified sd (n - 1), relative tolerance of double arithmetic
    "Michelso": (numbers(MICHELSO), "299.852400000000", "0.0790105478190518", 1e-12),
    "Lew": (numbers(LEW), "-177.435000000000", "277.332168044316", 1e-12),
    "PiDigits": (nist_pi_digits(), "4.53480000000000", "2.86733906028871", 1e-12),
    "NumAcc1": (numbers("10000001 10000003 10000002"), "10000002", "1", 1e-12),
    "NumAcc2": (numbers("1.2 " + "1.1 1.3 " * 500), "1.2", "0.1", 1e-12),
    # a double cannot hold 10000000.1: 1e-8 is the best that any double arithmetic reaches
    "NumAcc4": (numbers("10000000.2 " + "10000000.1 10000000.3 " * 500), "10000000.2", "0.1", 1e-8),
}


@pytest.mark.parametrize("name", SETS)
def test_nist_set(name: str) -> None:
    """NIST StRD: mean and sample standard deviation agree with the certified values."""
    data, certified_mean, certified_sd, close = SETS[name]
    values = [float(value) for value in data]
    assert mean(values) == pytest.approx(float(certified_mean), rel=1e-14)
    assert sample_sd(values) == pytest.approx(float(certified_sd), rel=close)


@pytest.mark.parametrize("name", SETS)
def test_nist_set_is_what_exact_fractions_give(name: str) -> None:
    """The data typed here are the certified ones: exact fractions give the certified digits."""
    data, certified_mean, certified_sd, _ = SETS[name]
    exact = [Fraction(value) for value in data]
    centre = sum(exact, Fraction(0)) / len(exact)
    variance = sum(((value - centre) ** 2 for value in exact), Fraction(0)) / (len(exact) - 1)
    assert centre == Fraction(certified_mean)
    assert math.sqrt(variance) == pytest.approx(float(certified_sd), rel=3e-15)


def test_digits_of_pi_are_not_the_nist_set() -> None:
    """NIST's PiDigits holds one wrong digit: true digits of pi give 4.5358 and 2.867675552187612, not certified."""
    digits = [float(digit) for digit in pi_digits(5000)]
    assert digits[WRONG_DIGIT_AT] == 8
    assert mean(digits) == pytest.approx(4.5358, rel=1e-14)
    assert sample_sd(digits) == pytest.approx(2.867675552187612, rel=1e-13)
    assert abs(mean(digits) - 4.5348) > 0.0009
