"""What is brought to a joint's pin from the rest of the machine: trials, play, its twin, the other end of its link."""

import datetime
from dataclasses import replace

import pytest

from fieldlog.measure.pin_evidence import PinEvidence
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.units import Units
from fieldlog.records.entries import Play, PlayBy, Trial, TrialResult
from fieldlog.records.machine import Hole, Joint, Link, Machine
from fieldlog.standards.threads import parse_thread
from fieldlog.wear.at_the_hole import look_at_pin
from fieldlog.wear.other_evidence import threads_at, twin_of
from fieldlog.wear.states import JointState
from fieldlog.wear.verdicts import Verdict
from tests.speaking import next_step_of, reason_of
from tests.values import sized
from tests.wear.build import AUTUMN, SPRING, SUMMER, Book

LEFT = Joint("rod-left", "Left lift rod, lower end")
RIGHT = Joint("rod-right", "Right lift rod, lower end")
UPPER = Joint("upper", "Left lift rod, upper end", pin=parse_length("7/8"))
HOLES = (Hole("hl", "rod-left"), Hole("hr", "rod-right"), Hole("hu", "upper"))
LINK = Link("rod", "Left lift rod", "lift rod", near_hole="hu", far_hole="hl")


def book(*joints: Joint, links: tuple[Link, ...] = (), **facts: object) -> Book:
    """Return a tractor with these joints, each with its hole."""
    own = tuple(hole for hole in HOLES if hole.joint in {joint.id for joint in joints})
    return Book(machine=Machine("tractor", joints=joints, holes=own, links=links, **facts))  # type: ignore[arg-type]


def tried(book: Book, day: datetime.date, typed: str, result: TrialResult, hole: str = "hl") -> None:
    """Try a shank in a hole."""
    head = book._head(day)
    book.entries.append(Trial(hole=hole, size=parse_length(typed), result=result, by="shank", **head))  # type: ignore[arg-type]


def played(book: Book, day: datetime.date, typed: str, by: PlayBy = "dial", joint: str = "rod-left") -> None:
    """Take play in place."""
    book.entries.append(Play(joint=joint, size=parse_length(typed), by=by, **book._head(day)))  # type: ignore[arg-type]


def evidence_of(state: JointState) -> PinEvidence:
    """Return what the joint's pin rests on."""
    assert state.evidence is not None
    return state.evidence


def test_a_trial_is_forgotten_when_the_hole_is_made_new() -> None:
    """What went into the old bush says nothing of the new one."""
    made = book(LEFT)
    tried(made, SPRING, "22 mm", "goes")
    assert len(evidence_of(made.joint).trials) == 1
    made.did(SUMMER, "bored", hole="hl")
    assert evidence_of(made.joint).trials == ()
    tried(made, AUTUMN, "22 mm", "goes")
    assert [trial.day for trial in evidence_of(made.joint).trials] == [AUTUMN]


def test_a_struck_trial_counts_for_nothing() -> None:
    """Undo is a strike here as everywhere."""
    made = book(LEFT)
    tried(made, SPRING, "22 mm", "goes")
    made.strike(made.entries[0])
    assert evidence_of(made.joint).trials == ()


def test_play_is_the_middle_of_the_last_round_that_took_it() -> None:
    """Three tries of one day: 0.8, 0.9, 1.4 give 0.9; what was taken before a new pin is gone."""
    made = book(LEFT)
    made.bore(SUMMER, 23.4, oval=0.6, hole="hl")
    played(made, SPRING, "3 mm")
    for typed in ("0.8 mm", "1.4 mm", "0.9 mm"):
        played(made, SUMMER, typed)
    play = evidence_of(made.joint).play
    assert play is not None
    assert play.value == pytest.approx(0.9)
    assert [part.name for part in play.parts] == ["dial, joint pried", "repeats"]
    made.did(SUMMER, "new pin", joint="rod-left")
    assert evidence_of(made.joint).play is None


def test_play_years_from_the_measuring_of_the_hole_is_left_out() -> None:
    """The hole may have worn meanwhile, so the two say nothing about the pin together."""
    made = book(LEFT)
    made.bore(SPRING, 23.4, hole="hl")
    played(made, SPRING + datetime.timedelta(days=400), "0.9 mm")
    assert evidence_of(made.joint).play is None


def test_feeler_and_play_are_kept_apart() -> None:
    """A feeler is no movement."""
    made = book(LEFT)
    made.bore(SPRING, 23.4, hole="hl")
    played(made, SPRING, "0.9 mm")
    played(made, SPRING, "0.85 mm", "feeler")
    found = evidence_of(made.joint)
    assert (found.play is not None, found.feeler is not None) == (True, True)


@pytest.mark.parametrize(
    ("joints", "twin"),
    [
        ((LEFT, RIGHT), "rod-right"),
        ((replace(LEFT, twin="upper"), RIGHT, UPPER), "upper"),
        ((LEFT, replace(UPPER, twin="rod-left")), "upper"),
        ((LEFT, UPPER), None),
        ((replace(LEFT, twin="gone"), RIGHT), None),
    ],
)
def test_twin_is_named_or_read_off_left_and_right(joints: tuple[Joint, ...], twin: str | None) -> None:
    """A named twin counts before the names, from either side; a name that is not there finds nobody."""
    found = twin_of(joints[0], Machine("tractor", joints=joints))
    assert (found.id if found is not None else None) == twin


def test_a_twin_measured_at_its_unworn_end_is_evidence_and_an_unknown_one_a_next_step() -> None:
    """The right rod's pin reads 22.20: 7/8. Before that it is proposed to be measured."""
    made = book(LEFT, RIGHT)
    made.bore(SPRING, 22.75, hole="hl")
    assert evidence_of(made.joint).unknown_twin == "Right lift rod, lower end"
    assert any("Right lift rod" in step.action for step in made.joint.pin_answer.next_steps)
    made.pin_is(SPRING, 22.20, "unworn", joint="rod-right")
    found = evidence_of(made.joint)
    assert [(other.kinship, other.names) for other in found.others] == [("twin", ("7/8 in",))]
    assert made.joint.pin_answer.candidates[0].name == "7/8 in"


def test_the_other_end_of_the_link_and_its_threads_are_evidence() -> None:
    """7/8 is stated at the upper end; the links have inch threads."""
    made = book(LEFT, UPPER, links=(LINK,), link_threads="in")
    made.bore(SPRING, 22.75, hole="hl")
    found = evidence_of(made.joint)
    assert [(other.kinship, other.names) for other in found.others] == [("other end", ("7/8 in",))]
    assert (found.threads, found.has_links) == ("in", True)


@pytest.mark.parametrize(
    ("own", "other", "stated", "threads"),
    [
        ("M24", "", None, "mm"),
        ("1-1/8-7", "M24", None, "in"),
        ("1-1/8-7", "", "mm", "in"),
        ("", "M24", None, "mm"),
        ("", "M24", "in", "in"),
        ("", "", None, None),
        ("Tr24x5", "", None, "mm"),
    ],
)
def test_threads_are_those_of_its_own_link_first(
    own: str, other: str, stated: Units | None, threads: Units | None
) -> None:
    """The link that ends here tells, then what is stated of the machine, then its other links where they agree."""
    links = [replace(LINK, thread=parse_thread(own) if own else None)]
    links.append(Link("top", thread=parse_thread(other) if other else None))
    assert (
        threads_at(LEFT, Machine("t", joints=(LEFT, UPPER), holes=HOLES, links=tuple(links), link_threads=stated))
        == threads
    )


def test_a_contradiction_takes_the_word_sound_away() -> None:
    """A joint that looks sound is measured again while its evidence contradicts itself, and the way out is said."""
    stated = replace(LEFT, pin=parse_length("22 mm"))
    made = book(stated)
    for day in (SPRING, AUTUMN):
        made.bore(day, 22.75, hole="hl")
        made.pin_is(day, 21.95, joint="rod-left")
    assert made.verdict() is Verdict.SOUND
    tried(made, AUTUMN, "22.1 mm", "no")
    assert made.verdict() is Verdict.REMEASURE
    assert "did not go through hl, which reads 22.75" in reason_of(made.finding)
    assert "burr" in next_step_of(made.finding)


def test_the_pin_in_hand_is_named_at_once_by_all_that_is_known() -> None:
    """At the pin's stop: an end of 22.20 is 7/8 in; a band of 22.60 cannot go with a hole of 22.75 and that end."""
    made = book(LEFT)
    made.bore(SPRING, 22.75, hole="hl")
    known = evidence_of(made.joint)
    end, band = sized(22.20), sized(22.60)
    seen = look_at_pin(None, end, known, "mm")
    assert seen.answer is not None
    assert seen.answer.settled == "7/8 in"
    both = look_at_pin(band, end, known, "mm")
    assert both.answer is not None
    assert "a pin does not grow" in both.answer.contradiction
    assert look_at_pin(band, end, None, "mm").answer is None
