"""Evidence that cannot both be right is named with both sides and with what would settle it."""

import datetime
from dataclasses import replace

import pytest

from fieldlog.measure.pin_evidence import PinEvidence
from fieldlog.measure.pin_rules import contradictions
from fieldlog.measure.pins import identify_pin
from tests.measure.test_pin_evidence import DAY, evidence, names, size, trial


def said(found: PinEvidence) -> list[str]:
    """Return the sentences."""
    return [contradiction.said for contradiction in contradictions(found, "mm")]


def test_a_pin_that_goes_through_a_hole_that_reads_smaller() -> None:
    """A 3/4 pin (19.05) through 18.90 +- 0.06: both sides and the way out are in words."""
    found = evidence(18.90, trial("3/4 in", "goes", by="pin"), doubt_mm=0.06)
    (only,) = contradictions(found, "mm")
    assert only.said == "a 3/4 in pin went through ball hole, which reads 18.90 ± 0.06 mm"
    assert "measure the hole again, and the pin that was tried: it may not be 3/4 in" in only.settles
    answer = identify_pin(found, "mm")
    assert answer.contradiction == only.said
    assert "speaks for" not in answer.sentence
    assert answer.next_measurement == only.settles
    assert {"3/4 in", "18 mm"} <= names(answer)  # neither side is believed alone


@pytest.mark.parametrize(("typed", "is_wrong"), [("18.95 mm", False), ("18.97 mm", True), ("18.8 mm", False)])
def test_going_contradicts_only_beyond_doubt(typed: str, is_wrong: bool) -> None:
    """18.90 +- 0.06 lets 18.96 through."""
    assert bool(said(evidence(18.90, trial(typed, "goes"), doubt_mm=0.06))) is is_wrong


@pytest.mark.parametrize(("typed", "is_wrong"), [("19.0 mm", True), ("19.40 mm", False), ("19.5 mm", False)])
def test_a_refused_shank_in_a_hole_that_reads_larger(typed: str, is_wrong: bool) -> None:
    """19.0 not going into 19.42 +- 0.05 is a burr, a bend or a taper."""
    found = said(evidence(19.42, trial(typed, "no")))
    assert bool(found) is is_wrong
    assert all("did not go through ball hole, which reads 19.42" in text for text in found)


def test_what_goes_is_smaller_than_what_does_not() -> None:
    """In the same hole, on the same day."""
    found = evidence(None, trial("19.5 mm", "goes"), trial("19.0 mm", "no"))
    assert said(found) == ["a 19.5 mm shank went through ball hole, but a 19.0 mm shank did not"]
    assert said(evidence(None, trial("19.0 mm", "goes"), trial("19.0 mm", "no")))
    assert not said(evidence(None, trial("19.0 mm", "goes"), trial("19.5 mm", "no")))
    assert not said(evidence(None, trial("19.5 mm", "goes"), trial("19.0 mm", "no", hole="other")))


def test_a_bore_that_grew_contradicts_nothing() -> None:
    """What did not go in May and goes two years later is wear; the other way round a bore would have shrunk."""
    later = DAY + datetime.timedelta(days=730)
    assert not said(evidence(None, trial("19.0 mm", "no"), trial("19.5 mm", "goes", day=later)))
    assert said(evidence(None, trial("19.0 mm", "no", day=later), trial("19.5 mm", "goes")))
    assert not said(evidence(18.9, trial("19.5 mm", "goes", day=later)))


def test_a_bore_that_grew_beyond_belief_is_measured_again() -> None:
    """19.5 read, 22.2 goes two years later: worn or misread, and not sound until that is known."""
    later = DAY + datetime.timedelta(days=730)
    (only,) = contradictions(evidence(19.5, trial("7/8 in", "goes", day=later)), "mm")
    assert "it has grown by 2.73 mm since, or one of them is wrong" in only.said
    assert only.settles == "measure the hole again"
    assert only.is_grave


def test_the_pin_is_no_smaller_than_what_its_own_hole_refused() -> None:
    """Stated 3/4, measured 19.02: a 19 mm shank that does not go cannot be."""
    assert (
        "stated as 3/4 in, but a 3/4 in pin did not go"
        in said(evidence(None, trial("3/4 in", "no", by="pin"), stated="3/4"))[0]
    )
    measured = replace(evidence(None, trial("18.5 mm", "no")), measured_pin=size(19.02, 0.03))
    assert "the pin reads 19.02" in said(measured)[0]


def test_a_worn_band_larger_than_the_unworn_end() -> None:
    """A pin does not grow."""
    found = replace(evidence(19.42), measured_pin=size(19.02, 0.03), worn_pin=size(19.20, 0.03))
    assert any("a pin does not grow" in text for text in said(found))
    assert not said(replace(found, worn_pin=size(18.90, 0.03)))


@pytest.mark.parametrize(("play_mm", "word"), [(0.93, ""), (1.4, "the play in place is 1.4"), (0.4, "is only 0.4")])
def test_play_is_what_hole_and_pin_leave(play_mm: float, word: str) -> None:
    """19.95 minus 19.00 leaves 0.95: more play is another hole or a moving bush, less a joint that was loaded."""
    base = replace(evidence(19.42), largest=size(19.95), worn_pin=size(19.0, 0.03), play=size(play_mm, 0.1))
    found = said(base)
    assert (word in " ".join(found)) if word else not found
    assert all("its largest hole and its pin leave 0.95" in text for text in found)


def test_feeler_and_play_that_disagree() -> None:
    """0.3 by feeler and 1.2 by dial are not one clearance."""
    found = replace(evidence(19.42), play=size(1.2, 0.1), feeler=size(0.3, 0.08))
    assert "the feeler says 0.30" in said(found)[0]
    assert not said(replace(found, feeler=size(1.1, 0.08)))


def test_nothing_is_wrong_with_evidence_that_agrees() -> None:
    """The usual case says nothing."""
    found = evidence(19.42, trial("19.05 mm", "goes"), trial("19.5 mm", "no"))
    fine = replace(
        found, measured_pin=size(19.02, 0.03), worn_pin=size(18.9, 0.03), largest=size(19.5), play=size(0.6, 0.1)
    )
    assert said(fine) == []
