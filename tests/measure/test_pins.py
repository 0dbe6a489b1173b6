"""Which pin a hole was made for."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.measure.pin_evidence import PinAnswer, PinEvidence, groups_of_one_size
from fieldlog.measure.pin_rules import nearest_nominal, reference_hole
from fieldlog.measure.pins import identify_pin
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.value import Value
from fieldlog.records.machine import HitchCategory, Hole, HoleUse, Joint, JointKind
from fieldlog.standards.joints import NOMINAL_PINS
from tests.values import part, sized

NORMAL_95 = 1.959963985  # two-sided 95 % point of the normal distribution


def size(mm: float, doubt_mm: float = 0.05) -> Value:
    """Return a size whose 95 % half-width is `doubt_mm`."""
    return sized(mm, (part("all", doubt_mm / NORMAL_95, float("inf"), "given"),))


def ask(  # noqa: PLR0913 - one keyword for each kind of evidence
    mm: float,
    *,
    kind: JointKind = "hitch",
    use: HoleUse = "daily",
    category: HitchCategory | None = None,
    doubt_mm: float = 0.05,
    stated: str = "",
    measured: Value | None = None,
    worn: Value | None = None,
    unmeasured: tuple[Hole, ...] = (),
) -> PinAnswer:
    """Ask about one hole of a smallest size."""
    joint = Joint("j", kind=kind, pin=parse_length(stated) if stated else None)
    holes = ((Hole("h", "j", use=use), size(mm, doubt_mm)),)
    return identify_pin(PinEvidence(joint, holes, measured, category, worn, unmeasured), "mm")


def names(answer: PinAnswer, standing: str = "unworn") -> list[str]:
    """Return the names of the candidates of a standing, best first."""
    return [candidate.name for candidate in answer.candidates if candidate.standing == standing]


# The worked cases of the trade: the hole, what fits it unworn with its excess, what only a worn hole explains.
# Excess and sets are worked by hand from the nominal sizes; the sets are common practice.
WORKED = [
    (19.42, {"19 mm": "0.42", "3/4 in": "0.37"}, {"18 mm": "1.42"}),
    (22.75, {"7/8 in": "0.525", "22 mm": "0.75"}, {}),
    (16.30, {"16 mm": "0.30", "5/8 in": "0.425"}, {"9/16 in": "2.0125", "14 mm": "2.30"}),
    (25.75, {"25.5 mm": "0.25", "1 in": "0.35", "25 mm": "0.75"}, {"24 mm": "1.75"}),
]


@pytest.mark.parametrize(("hole_mm", "unworn", "worn"), WORKED)
def test_worked_case_comes_out(hole_mm: float, unworn: dict[str, str], worn: dict[str, str]) -> None:
    """Each worked case gives its set of pins with the excess of each, unworn before worn."""
    answer = ask(hole_mm)
    assert set(names(answer)) == set(unworn)
    assert set(names(answer, "worn")) == set(worn)
    expected = {name: float(excess) for name, excess in {**unworn, **worn}.items()}
    assert {c.name: c.excess_mm for c in answer.candidates} == pytest.approx(expected)
    standings = [candidate.standing for candidate in answer.candidates]
    assert standings == sorted(standings, key=lambda standing: standing == "worn")
    assert answer.settled is None


def test_nineteen_forty_two_is_one_size_and_says_what_is_too_big() -> None:
    """19 mm and 3/4 in count as one, 18 would need 1.42 mm, 20 is 0.58 too big."""
    answer = ask(19.42)
    assert answer.sentence.startswith("19 mm or 3/4 in (one size for hitch use)")
    assert "18 mm only if 1.42 mm" in answer.sentence
    assert "20 mm cannot enter: 0.58 mm too big" in answer.candidates[0].reason
    assert [len(group) for group in answer.groups] == [2, 1]


@pytest.mark.parametrize("hole_mm", [22.75, 16.30, 25.75, 19.42])
def test_worked_case_says_that_the_pin_settles_it(hole_mm: float) -> None:
    """The pin first: the hole is read well enough that no shank can tell these candidates apart."""
    answer = ask(hole_mm)
    assert answer.next_measurement.startswith("measure the pin at its unworn end")
    assert not any("shank" in step.action for step in answer.next_steps)


def test_category_plate_narrows_where_only_some_pins_are_of_a_category() -> None:
    """25.5 mm and 1 in are pins of category 2, 25 mm is of none; 22 mm and 7/8 in are both of category 1."""
    assert "to narrow it, look up the hitch category" in ask(25.75).next_measurement
    assert "category" not in ask(22.75).next_measurement


def test_unused_hole_is_asked_for_where_wear_is_the_question() -> None:
    """20.30 is a new 20 or a worn 19, which the unused hole tells; 16.30 fits 16 mm and 5/8 in unworn."""
    unused = Hole("h3", "j", name="third hole", use="never")
    assert ask(20.30, unmeasured=(unused,)).next_measurement.endswith("or measure third hole, which is never used")
    assert "third" not in ask(16.30, unmeasured=(unused,)).next_measurement
    assert "third" not in ask(20.30, use="never", unmeasured=(unused,)).next_measurement


def test_unused_hole_needs_no_wear() -> None:
    """A hole that was never used has not worn, so a size that would need wear falls out and the answer settles."""
    answer = ask(19.42, use="never")
    assert names(answer, "worn") == []
    assert answer.settled == "19 mm or 3/4 in"
    assert answer.next_measurement == ""


def test_category_ranks_first_and_says_so() -> None:
    """25.75 mm on a category 2 hitch: its own pins come before 25 mm, with the reason."""
    answer = ask(25.75, category="2")
    assert set(names(answer)[:2]) == {"25.5 mm", "1 in"}
    assert names(answer)[2] == "25 mm"
    assert "hitch category 2" in answer.candidates[0].reason
    assert "category" not in answer.next_measurement
    assert names(ask(20.04, category="1")) == ["3/4 in", "19 mm", "20 mm"]  # 20 mm is no category pin


def test_category_says_nothing_about_other_joints() -> None:
    """A loader's bushed joint on the same tractor is not ranked by the hitch category."""
    assert not any("category" in c.reason for c in ask(25.45, kind="bushed", category="2").candidates)


@pytest.mark.parametrize(
    ("excess_mm", "stands"),
    [(-0.06, ""), (-0.04, "unworn"), (0.6, "unworn"), (1.04, "unworn"), (1.06, "worn"), (2.49, "worn"), (2.51, "")],
)
def test_standing_changes_at_its_lines(excess_mm: float, stands: str) -> None:
    """With U = 0.05: impossible under -U, unworn up to 1.0 + U, worn up to 1.0 + 1.5 mm. 60 mm has no neighbour."""
    answer = ask(60.0 + excess_mm)
    assert [c.standing for c in answer.candidates if c.name == "60 mm"] == ([stands] if stands else [])


@pytest.mark.parametrize(("kind", "stands"), [("bushed", "worn"), ("hitch", "unworn")])
def test_bushed_joint_is_closer_when_new(kind: JointKind, stands: str) -> None:
    """0.8 mm of room is new on a hitch, and wear on a bushed joint (0.03 to 0.5 mm when new)."""
    assert next(c.standing for c in ask(30.8, kind=kind).candidates if c.name == "30 mm") == stands


def test_tight_fit_ranks_behind_a_usual_one() -> None:
    """7/8 in enters a 22.35 hole with 0.13 mm, but 22 mm fits it as holes are made."""
    answer = ask(22.35)
    assert names(answer) == ["22 mm", "7/8 in"]
    assert "tight" in answer.candidates[1].reason


def test_least_used_hole_speaks_then_the_smallest() -> None:
    """Never before sometimes before daily, and among equals the smallest: a bore can only grow."""
    daily, some = Hole("a", "j", use="daily"), Hole("b", "j", use="sometimes")
    never, also = Hole("c", "j", use="never"), Hole("d", "j", use="never")
    assert reference_hole([(daily, size(19.2)), (some, size(19.9))])[0] is some
    assert reference_hole([(daily, size(19.2)), (never, size(19.6)), (also, size(19.5))])[0] is also
    answer = identify_pin(PinEvidence(Joint("j"), ((daily, size(20.9)), (never, size(19.42)))), "mm")
    assert answer.from_hole == "c"
    assert answer.settled == "19 mm or 3/4 in"


@pytest.mark.parametrize(
    ("pin_mm", "is_it"),
    [
        (19.02, "19 mm or 3/4 in"),
        (15.86, "5/8 in"),
        (15.95, "16 mm"),
        (21.98, "22 mm"),
        (22.20, "7/8 in"),
        (21.85, "22 mm"),  # hitch pins may be 0.2 under
        (24.97, "25 mm"),
    ],
)
def test_pin_measured_at_its_unworn_end_settles_it(pin_mm: float, is_it: str) -> None:
    """The pin says what the hole cannot, against any set of candidates."""
    answer = ask(25.75, measured=size(pin_mm, 0.03))
    assert answer.settled == is_it
    assert {candidate.standing for candidate in answer.candidates} == {"known"}
    assert answer.next_measurement == ""


def test_pin_of_no_usual_size_is_said() -> None:
    """A pin turned to 18.5 mm has no name, and none is made up for it."""
    answer = ask(19.42, measured=size(18.50, 0.03))
    assert answer.settled is None
    assert answer.candidates == ()
    assert "no usual size; the pin reads 18.50" in answer.sentence
    assert nearest_nominal(size(18.50, 0.03)) == ()


def test_worn_pin_rules_out_what_is_smaller() -> None:
    """A worn band of 18.6 mm was never an 18 mm pin."""
    assert "18 mm" in names(ask(19.42), "worn")
    assert "18 mm" not in names(ask(19.42, worn=size(18.60, 0.03)), "worn")
    assert ask(19.42, worn=size(18.60, 0.03)).settled == "19 mm or 3/4 in"


def test_stated_pin_settles_it() -> None:
    """What the owner states for certain is taken, with the room it leaves."""
    answer = ask(19.42, stated="3/4")
    assert answer.settled == "3/4 in"
    assert answer.sentence == "3/4 in, as stated; 0.37 mm of room in its hole"
    assert answer.candidates[0].size_mm == Decimal("19.05")
    assert answer.contradiction == ""


@pytest.mark.parametrize(("hole_mm", "is_wrong"), [(19.42, True), (19.94, True), (19.96, False), (20.3, False)])
def test_stated_pin_that_cannot_enter_is_said(hole_mm: float, is_wrong: bool) -> None:
    """A 20 mm pin does not go into a hole proved smaller (U = 0.05), and the sentence says so."""
    answer = ask(hole_mm, stated="20 mm")
    assert bool(answer.contradiction) is is_wrong
    assert ("cannot enter" in answer.sentence) is is_wrong
    assert answer.settled == "20 mm"
    assert bool(answer.next_measurement) is is_wrong


def test_measured_pin_larger_than_its_hole_is_said() -> None:
    """A pin of 20.0 in a hole of 19.42: both stay, and one of them is wrong."""
    answer = ask(19.42, measured=size(20.0, 0.03))
    assert "more than its hole of 19.42" in answer.contradiction
    assert "that is more than its hole of 19.42" in answer.sentence
    assert answer.next_measurement


@pytest.mark.parametrize(("pin_mm", "is_wrong"), [(22.21, True), (21.90, False), (21.70, True), (22.01, False)])
def test_stated_and_measured_pin_that_disagree_are_said(pin_mm: float, is_wrong: bool) -> None:
    """Stated 22 mm: a reading over it, or more than 0.2 mm under it at the unworn end, contradicts."""
    answer = ask(22.75, stated="22 mm", measured=size(pin_mm, 0.03))
    assert ("the pin reads" in answer.contradiction) is is_wrong


def test_worn_band_over_the_stated_pin_contradicts_it() -> None:
    """A worn band can be far under the stated size, never over it."""
    assert ask(22.75, stated="22 mm", worn=size(21.0, 0.03)).contradiction == ""
    assert "the pin reads" in ask(22.75, stated="22 mm", worn=size(22.20, 0.03)).contradiction


def test_nothing_measured_asks_for_the_pin() -> None:
    """Without hole and pin the answer is what to measure."""
    answer = identify_pin(PinEvidence(Joint("j"), ()), "mm")
    assert (answer.candidates, answer.settled) == ((), None)
    assert answer.next_measurement.startswith("measure the pin at its unworn end")
    stated = identify_pin(PinEvidence(Joint("j", pin=parse_length("22 mm")), ()), "mm")
    assert stated.sentence == "22 mm, as stated; no hole measured yet"


def test_hole_that_no_pin_fits_says_so() -> None:
    """A 7 mm hole is smaller than every pin in the list."""
    answer = ask(7.0)
    assert answer.candidates == ()
    assert answer.sentence == "no usual pin fits a hole of 7.00 ± 0.05 mm"


def test_reasons_speak_inches_to_those_who_do() -> None:
    """The numbers are in the person's units: 0.37 mm is 0.015 in."""
    holes = ((Hole("h", "j"), size(19.42)),)
    answer = identify_pin(PinEvidence(Joint("j"), holes), "in")
    reasons = {candidate.name: candidate.reason for candidate in answer.candidates}
    assert reasons["3/4 in"].startswith("0.015 in of room")
    assert not any(" mm too big" in reason or " mm of room" in reason for reason in reasons.values())


@given(st.floats(11.0, 62.0), st.floats(0.01, 0.3), st.sampled_from(["pivot", "bushed", "hitch", "drawbar"]))
def test_no_candidate_is_impossible(hole_mm: float, doubt_mm: float, kind: JointKind) -> None:
    """Whatever the hole, no pin is offered that cannot enter it, and every pin that fits as when new is offered."""
    answer = ask(hole_mm, kind=kind, doubt_mm=doubt_mm)
    offered = {candidate.name for candidate in answer.candidates}
    for pin in NOMINAL_PINS:
        excess = hole_mm - float(pin.mm)
        if excess < -doubt_mm * 1.0001:
            assert pin.name not in offered
        if 0.2 <= excess <= 0.2 + 1e-6:
            assert pin.name in offered


@given(st.floats(11.0, 60.0), st.floats(0.0, 3.0))
def test_wear_moves_the_answer_to_larger_pins_only(hole_mm: float, wear_mm: float) -> None:
    """The largest pin that stands never gets smaller as the hole grows."""

    def largest(mm: float) -> Decimal:
        return max((c.size_mm for c in ask(mm).candidates), default=Decimal(0))

    assert largest(hole_mm + wear_mm) >= largest(hole_mm) or not ask(hole_mm + wear_mm).candidates


@given(st.lists(st.sampled_from([pin.name for pin in NOMINAL_PINS]), unique=True))
def test_grouping_keeps_every_candidate_once(wanted: list[str]) -> None:
    """Putting pins of one size together loses and doubles none."""
    candidates = [c for mm in (16.3, 19.42, 22.75, 35.5, 38.6) for c in ask(mm).candidates if c.name in wanted]
    grouped = [candidate for group in groups_of_one_size(candidates) for candidate in group]
    assert sorted(c.name for c in grouped) == sorted(c.name for c in candidates)
