"""Thread designations: every way people write them, and a sentence for what is none."""

import pytest

from fieldlog.errors import QuantityError
from fieldlog.records.machine import parse_turns
from fieldlog.standards.threads import METRIC, UNIFIED, parse_thread
from tests.spoken import refused


@pytest.mark.parametrize(
    ("text", "d_mm", "pitch_mm", "lead_mm"),
    [
        ("M24x3", 24, 3, 3),
        ("m24 x 3", 24, 3, 3),
        ("M24", 24, 3, 3),
        ("M24×2", 24, 2, 2),
        ("M24x2.5 special", 24, 2.5, 2.5),
        ("3/4-10 UNC", 19.05, 2.54, 2.54),
        ("3/4-10", 19.05, 2.54, 2.54),
        ("3/4 UNF", 19.05, 1.5875, 1.5875),
        ("1 1/8-7", 28.575, 25.4 / 7, 25.4 / 7),
        ("1-1/8-7 UNC", 28.575, 25.4 / 7, 25.4 / 7),
        ("1-8", 25.4, 3.175, 3.175),
        ("1-14 UNS", 25.4, 25.4 / 14, 25.4 / 14),
        ("Tr 30x6", 30, 6, 6),
        ("tr30x6", 30, 6, 6),
        ("Tr 40x14 P7", 40, 7, 14),
        ("Tr40x14(P7)", 40, 7, 14),
    ],
)
def test_a_thread_is_read(text: str, d_mm: float, pitch_mm: float, lead_mm: float) -> None:
    """Diameter, pitch and lead."""
    thread = parse_thread(text)
    found = (float(thread.d_mm), float(thread.pitch_mm), float(thread.lead_mm))
    assert found == pytest.approx((d_mm, pitch_mm, lead_mm), rel=1e-9)


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("M23", "no M23 is listed"),
        ("M24x2.5", "M24 comes with a pitch of 3, 2, 1.5 or 1 mm"),
        ("M24 special", "needs its pitch"),
        ("M24x3 LH", "the hand is written for each end"),
        ("3/4-11", "3/4-10 UNC or 3/4-16 UNF"),
        ("3/4-16 UNC", "3/4-16 UNF"),
        ("2 UNF", "no UNF of that size"),
        ("1/0-8 UNS", "is no thread"),
        ("1-0 UNS", "no threads an inch"),
        ("24", "write a thread as M24x3"),
        ("3/4", "write a thread as M24x3"),
        ("", "write a thread as M24x3"),
        ("Tr 30x5.5", "has a pitch of"),
        ("Tr 40x13 P7", "multiple"),
        ("99-1 UNS", "does not go with the diameter"),
        ("Tr 300x6", "does not go with the diameter"),
    ],
)
def test_what_is_no_thread_is_refused_with_what_would_be(text: str, said: str) -> None:
    """The sentence names the offending text or the accepted form."""
    with refused(said.replace(".", r"\."), QuantityError):
        parse_thread(text)


@pytest.mark.parametrize("size", sorted(METRIC))
def test_every_listed_pitch_is_read(size: str) -> None:
    """Coarse when left out; every listed pitch by name; pitches fall."""
    assert parse_thread(f"M{size}").series == "coarse"
    pitches = [float(parse_thread(f"M{size}x{pitch}").pitch_mm) for pitch in METRIC[size]]
    assert pitches == sorted(pitches, reverse=True)


@pytest.mark.parametrize("size", sorted(UNIFIED))
def test_unf_is_finer_than_unc(size: str) -> None:
    """Both series parse with and without their name."""
    coarse = parse_thread(f"{size}-{UNIFIED[size][0]}")
    assert coarse.series == "UNC"
    if UNIFIED[size][1]:
        assert parse_thread(f"{size} UNF").pitch_mm < coarse.pitch_mm


@pytest.mark.parametrize(
    ("text", "turns"), [("42", 42), ("42.5", 42.5), ("42 1/2", 42.5), ("42½", 42.5), ("0.25", 0.25)]
)
def test_turns_are_read(text: str, turns: float) -> None:
    """Whole, decimal, halves and quarters."""
    assert float(parse_turns(text)) == turns


@pytest.mark.parametrize("text", ["", "0", "-3", "4.5 1/2", "many", "9999", "1/3"])
def test_no_turns_are_refused(text: str) -> None:
    """With the accepted form."""
    with refused("42 1/2", QuantityError):
        parse_turns(text)
