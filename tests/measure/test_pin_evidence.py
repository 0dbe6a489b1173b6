"""Which pin it is by everything that is no reading: trials, play in place, the machine's other facts."""

import datetime
import itertools
import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.measure.pin_evidence import HoleDay, OtherPin, PinAnswer, PinEvidence
from fieldlog.measure.pins import identify_pin
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.value import Value
from fieldlog.records.entries import Trial, TrialBy, TrialResult
from fieldlog.records.machine import Hole, HoleUse, Joint, JointKind
from fieldlog.standards.joints import JOINT_DEFAULTS, NOMINAL_PINS
from tests.values import part, sized

NORMAL_95 = 1.959963985  # two-sided 95 % point of the normal distribution
DAY = datetime.date(2026, 5, 2)
SEEDED = settings(max_examples=60, deadline=None, derandomize=True)


def size(mm: float, doubt_mm: float = 0.05) -> Value:
    """Return a size whose 95 % half-width is `doubt_mm`."""
    return sized(mm, (part("all", doubt_mm / NORMAL_95, float("inf"), "given"),))


def trial(
    typed: str, result: TrialResult, *, hole: str = "h", by: TrialBy = "shank", day: datetime.date = DAY
) -> Trial:
    """Return one trial."""
    head = {"round": f"{day}-ann", "day": day, "who": "ann"}
    return Trial(at="09:00:00", hole=hole, size=parse_length(typed), result=result, by=by, **head)  # type: ignore[arg-type]


def evidence(
    mm: float | None,
    *trials: Trial,
    doubt_mm: float = 0.05,
    use: HoleUse = "daily",
    kind: JointKind = "hitch",
    stated: str = "",
) -> PinEvidence:
    """Return the evidence of a joint with one hole, read on the day of the trials, or not at all."""
    joint = Joint("j", kind=kind, pin=parse_length(stated) if stated else None)
    hole = Hole("h", "j", name="ball hole", use=use)
    if mm is None:
        return PinEvidence(joint, (), unmeasured=(hole,), trials=trials)
    smallest = size(mm, doubt_mm)
    return PinEvidence(joint, ((hole, smallest),), trials=trials, days=(HoleDay("h", DAY, smallest),))


def ask(found: PinEvidence) -> PinAnswer:
    """Identify in mm."""
    return identify_pin(found, "mm")


def names(answer: PinAnswer) -> set[str]:
    """Return the names that stand."""
    return {candidate.name for candidate in answer.candidates}


def share(answer: PinAnswer, *wanted: str) -> float:
    """Return the weight of the wanted names together."""
    return sum(candidate.share for candidate in answer.candidates if candidate.name in wanted)


# --- trials as inequalities: "19.05 goes, 19.5 no" leaves only what enters and has no absurd room


def test_trials_alone_bracket_a_hole_nobody_read() -> None:
    """25 goes and 30 does not: 30 and everything larger is out, and so is what would need absurd room under 25."""
    answer = ask(evidence(None, trial("25 mm", "goes"), trial("30 mm", "no"), kind="bushed"))
    assert {"25 mm", "25.5 mm", "1 in", "28 mm", "1-1/8 in"} <= names(answer)
    assert not {"30 mm", "32 mm", "22 mm", "7/8 in"} & names(answer)
    assert answer.settled is None
    assert answer.from_hole == "h"


def test_a_refused_pin_rules_out_its_own_size_and_everything_larger() -> None:
    """A hole read roughly as 22.2 can be of a 7/8 pin, until a 7/8 shank does not go in."""
    rough = evidence(22.2, doubt_mm=0.3)
    assert "7/8 in" in names(ask(rough))
    refused = names(ask(replace(rough, trials=(trial("7/8 in", "no"),))))
    assert "7/8 in" not in refused
    assert "22 mm" in refused


def test_what_is_out_is_said_with_what_took_it_off() -> None:
    """7/8 by the shank that did not go, 18 mm by the play in place, 18 mm by the worn band where that is measured."""
    rough = evidence(22.2, trial("7/8 in", "no"), doubt_mm=0.3)
    assert [tuple(out) for out in ask(rough).ruled_out] == [("7/8 in", "what was tried")]
    tight = replace(evidence(19.42), largest=size(19.95), play=size(0.9, 0.15))
    assert [tuple(out) for out in ask(tight).ruled_out] == [("18 mm", "play in place")]
    band = replace(evidence(19.42), worn_pin=size(18.6, 0.03))
    assert [tuple(out) for out in ask(band).ruled_out] == [("18 mm", "the pin's worn band")]
    assert ask(evidence(19.42)).ruled_out == ()


def test_one_side_only_is_no_passage() -> None:
    """What sticks half way in a taper rules out its size as what does not enter at all."""
    rough = evidence(22.2, trial("7/8 in", "one side only"), doubt_mm=0.3)
    assert "7/8 in" not in names(ask(rough))


@pytest.mark.parametrize(
    ("trials", "said"),
    [
        ((trial("25 mm", "goes"),), "its hole lets a 25 mm shank through"),
        ((trial("25 mm", "no"),), "smaller than 25 mm: that shank does not go through"),
        ((trial("25 mm", "goes"), trial("24 mm", "no")), "what was tried in its hole contradicts itself"),
        ((trial("25.6 mm", "goes"), trial("25.5 mm", "no")), "contradicts itself"),
    ],
)
def test_one_bound_names_no_pin(trials: tuple[Trial, ...], said: str) -> None:
    """With only one bound, or contrary ones, nothing is guessed; what is known is said."""
    answer = ask(evidence(None, *trials))
    assert (answer.candidates, answer.settled) == ((), None)
    assert said in answer.sentence
    assert answer.next_measurement


def test_what_went_long_after_the_reading_tells_of_wear_only() -> None:
    """A 20 mm pin that goes two years after the hole read 19.42 is wear, and changes nothing."""
    later = DAY + datetime.timedelta(days=730)
    plain, worn = ask(evidence(19.42)), ask(evidence(19.42, trial("20 mm", "goes", day=later)))
    assert worn.candidates == plain.candidates
    assert worn.contradictions == ()


# --- weights


@SEEDED
@given(
    st.sampled_from([pin for pin in NOMINAL_PINS if pin.mm > 13]),
    st.sampled_from(["pivot", "bushed", "hitch", "drawbar"]),
    st.floats(0, 1),
    st.floats(0, 1.2),
    st.floats(-0.9, 0.9),
    st.lists(st.floats(-3, 3), max_size=4),
    st.booleans(),
)
def test_a_true_trial_never_removes_the_true_pin(  # noqa: PLR0913, PLR0917 -- a drawn world
    pin: object, kind: JointKind, made: float, wear_mm: float, miss: float, offsets: list[float], is_read: bool
) -> None:
    """Whatever goes or does not in the hole as it truly is, the pin it was made for still stands if it stood before."""
    assert isinstance(pin, tuple)
    name, pin_mm = str(pin[0]), float(pin[1])
    usual = JOINT_DEFAULTS[kind]
    hole_mm = pin_mm + usual.new_least_mm + made * (usual.new_most_mm - usual.new_least_mm) + wear_mm
    tried = [round(hole_mm + offset, 2) for offset in offsets]
    trials = tuple(trial(f"{mm} mm", "goes" if mm <= hole_mm else "no") for mm in tried if mm > 1)
    before = evidence(hole_mm + miss * 0.05 if is_read else None, kind=kind)
    if is_read:
        assert name in names(ask(before))
    answer = ask(replace(before, trials=trials))
    if is_read or answer.candidates:
        assert name in names(answer)
        assert math.fsum(c.share for c in answer.candidates) == pytest.approx(1, abs=1e-12)
        assert all(0 <= c.share <= 1 for c in answer.candidates)


@SEEDED
@given(st.permutations([("22.4 mm", "goes"), ("22.5 mm", "goes"), ("23 mm", "no"), ("24 mm", "no")]), st.booleans())
def test_the_order_of_the_evidence_does_not_matter(order: list[tuple[str, TrialResult]], is_read: bool) -> None:
    """Names, ranks and weights are the same whichever way round the trials were written down."""
    trials = tuple(trial(typed, result) for typed, result in order)
    others = (OtherPin("twin", "twin", ("22 mm",)), OtherPin("far", "other end", ("7/8 in",)))
    one = replace(evidence(22.75 if is_read else None, *trials), others=others)
    other = replace(one, trials=tuple(sorted(trials, key=lambda t: t.size.mm)), others=others[::-1])
    left, right = ask(one).candidates, ask(other).candidates
    assert [c.name for c in left] == [c.name for c in right]
    assert [c.share for c in left] == pytest.approx([c.share for c in right])


def test_weights_are_those_of_the_textbook_where_it_can_be_worked_by_hand() -> None:
    """Pins that fit an unused hole as made weigh alike; inch threads are three to one, as the odds say.

    A drawbar of 25.9: 25, 25.4 and 25.5 mm leave 0.9, 0.5 and 0.4 mm, well inside the 0.2 to 1.5 of a new one.
    """
    never = evidence(25.9, use="never", kind="drawbar")
    shares = {c.name: c.share for c in ask(never).candidates}
    assert shares["25 mm"] == pytest.approx(1 / 3, rel=1e-3)
    assert shares["25.5 mm"] == pytest.approx(1 / 3, rel=1e-3)
    with_threads = {c.name: c.share for c in ask(replace(never, threads="in")).candidates}
    assert with_threads["1 in"] / with_threads["25 mm"] == pytest.approx(3, rel=1e-3)


def test_wear_moves_weight_to_the_smaller_pin_where_a_hole_is_doubtful() -> None:
    """22.75: an unused hole leaves 22 mm and 7/8 in alike; in use the smaller gains, more so with a worn edge."""
    ratios = []
    for found in (
        evidence(22.75, use="never"),
        evidence(22.75),
        replace(evidence(22.75), worn_holes=frozenset({"h"})),
    ):
        answer = ask(found)
        ratios.append(share(answer, "22 mm") / share(answer, "7/8 in"))
    assert ratios[0] == pytest.approx(1, abs=0.01)
    assert ratios[0] < ratios[1] < ratios[2]


@pytest.mark.parametrize(
    ("fact", "favoured", "reason"),
    [
        ({"threads": "in"}, "7/8 in", "inch threads"),
        ({"threads": "mm"}, "22 mm", "metric threads"),
        ({"others": (OtherPin("Right rod", "twin", ("7/8 in",)),)}, "7/8 in", "as on the other side, Right rod"),
        ({"others": (OtherPin("Upper end", "other end", ("22 mm",)),)}, "22 mm", "as at the other end, Upper end"),
    ],
)
def test_what_is_known_of_the_machine_ranks_with_its_reason(
    fact: dict[str, object], favoured: str, reason: str
) -> None:
    """Threads, the other side and the other end each put a pin first, and none is dropped for it."""
    answer = ask(replace(evidence(22.75), **fact))  # type: ignore[arg-type]
    assert answer.candidates[0].name == favoured
    assert reason in answer.candidates[0].reason
    assert names(answer) == {"22 mm", "7/8 in"}
    assert answer.settled is None


def test_the_sentence_says_what_all_else_speaks_for() -> None:
    """With a twin of 7/8 the hole still cannot tell, but the sentence leans; without it, it does not."""
    twin = (OtherPin("Right rod", "twin", ("7/8 in",)),)
    leaning = ask(replace(evidence(22.75), others=twin)).sentence
    assert leaning.startswith("7/8 in or 22 mm; this hole cannot tell which, but all else speaks for 7/8 in (9")
    assert "speaks for" not in ask(evidence(22.75)).sentence


def test_a_bolt_is_of_a_size_that_bolts_have() -> None:
    """No 19 mm bolt is sold, 3/4 in is; a hitch pin or linch pin speaks for sizes of a hitch category."""
    bolt = replace(evidence(19.42), joint=Joint("j", pin_kind="bolt"))
    assert share(ask(bolt), "3/4 in") > 5 * share(ask(bolt), "19 mm")
    linch = ask(replace(evidence(20.30), joint=Joint("j", keeper="linch pin")))
    assert share(linch, "3/4 in", "19 mm") > share(ask(evidence(20.30)), "3/4 in", "19 mm")


def test_play_in_place_tells_the_pin_without_pulling_it() -> None:
    """A hole of 19.42 to 19.95 with 0.9 of play holds a 19 mm pin at least: 18 mm falls out and the answer settles."""
    before = replace(evidence(19.42), largest=size(19.95))
    assert "18 mm" in names(ask(before))
    answer = ask(replace(before, play=size(0.9, 0.15)))
    assert answer.settled == "19 mm or 3/4 in"
    assert "18 mm" in names(ask(replace(before, play=size(1.9, 0.15))))


# --- the next step is worked out


def test_a_shank_is_chosen_between_what_the_hole_can_be() -> None:
    """Read roughly, 19.3 +- 0.7 can be 18, 19 or 3/4: a shank splits them, and the sentence says which falls when."""
    answer = ask(evidence(19.3, doubt_mm=0.7, use="never"))
    step = next(step for step in answer.next_steps if "shank" in step.action)
    tried = parse_length(step.action.removeprefix("try a ").partition(" shank")[0])
    assert 18 < float(tried.mm) < 20.1
    assert "out" in step.why
    assert step.narrows > 0.15


def test_a_shank_is_not_proposed_where_the_hole_is_known_too_well() -> None:
    """Both 22 and 7/8 go into 22.75: trying either proves nothing, so neither is proposed."""
    assert not any("shank" in step.action for step in ask(evidence(22.75)).next_steps)


def test_the_best_step_is_the_one_with_fewest_minutes_to_a_settled_pin() -> None:
    """Minutes over the share of cases settled, smallest first, and each share lies between 0 and 1."""
    found = replace(evidence(20.3, doubt_mm=0.4), unknown_twin="Right rod", largest=size(20.9), has_links=True)
    steps = ask(found).next_steps
    cost = [step.minutes / step.settles for step in steps if step.settles > 0.02]
    assert len(steps) >= 5
    assert cost == sorted(cost)
    assert all(0 <= step.settles <= 1 and 0 <= step.narrows <= 1 for step in steps)
    assert any("Right rod" in step.action for step in steps)
    assert any("play" in step.action for step in steps)


def test_the_step_follows_what_is_left() -> None:
    """18 against 19 is settled by play in two minutes; 22 against 7/8 is too close for it, so the pin comes first."""
    far = ask(replace(evidence(19.42), largest=size(19.6)))
    near = ask(replace(evidence(22.75), largest=size(22.9)))
    assert far.next_measurement.startswith("take its play in place")
    assert near.next_measurement.startswith("measure the pin at its unworn end")


def test_nothing_is_asked_of_a_settled_pin() -> None:
    """No next step where one size stands alone."""
    settled = ask(evidence(19.42, use="never"))
    assert (settled.next_measurement, settled.next_steps) == ("", ())


@pytest.mark.parametrize("hole_mm", [13.0, 19.42, 22.35, 25.75, 32.4, 51.3, 61.0])
def test_expected_settling_is_what_would_happen(hole_mm: float) -> None:
    """Measuring the pin of every candidate in turn settles about as often as was said beforehand.

    The pins are drawn by their weights and read true to size, the kindest case, so the said share is a lower bound.
    """
    found = evidence(hole_mm)
    answer = ask(found)
    step = next((step for step in answer.next_steps if step.needs_pin), None)
    if step is None:
        return
    happened = math.fsum(
        candidate.share
        for candidate in answer.candidates
        if ask(replace(found, measured_pin=size(float(candidate.size_mm) - 0.01, 0.04))).settled
    )
    assert step.settles <= happened + 0.1


def test_pairs_of_evidence_hold_in_any_pair_of_units() -> None:
    """What is typed in inches weighs as the same size in mm."""
    inch, metric = trial("7/8 in", "no"), trial("22.225 mm", "no")
    for one, other in itertools.permutations((inch, metric)):
        left, right = (ask(evidence(22.2, t, doubt_mm=0.3)) for t in (one, other))
        assert [c.name for c in left.candidates] == [c.name for c in right.candidates]
        assert [c.share for c in left.candidates] == pytest.approx([c.share for c in right.candidates])


@SEEDED
@given(
    st.floats(8, 66),
    st.sampled_from([0.0, 0.05, 0.6, 8.0]),
    st.lists(st.tuples(st.floats(-4, 4), st.sampled_from(["goes", "no", "one side only"])), max_size=4),
    st.one_of(st.none(), st.floats(-1, 4)),
    st.one_of(st.none(), st.floats(0, 3)),
    st.sampled_from(["never", "sometimes", "daily"]),
)
def test_any_evidence_gives_an_answer_or_says_what_to_measure(
    hole_mm: float,
    doubt_mm: float,
    tried: list[tuple[float, TrialResult]],
    band: float | None,
    play: float | None,
    use: HoleUse,
) -> None:
    """However muddled, there are shares that sum to 1, or none and something to measure; never a crash."""
    trials = tuple(trial(f"{hole_mm + over:.2f} mm", result) for over, result in tried)
    found = replace(
        evidence(hole_mm, *trials, doubt_mm=doubt_mm, use=use),
        worn_pin=size(hole_mm - band) if band is not None else None,
        play=size(play, 0.1) if play is not None else None,
        largest=size(hole_mm + 0.3),
    )
    answer = ask(found)
    assert answer.sentence
    if answer.candidates:
        assert math.fsum(c.share for c in answer.candidates) == pytest.approx(1, abs=1e-9)
    else:
        assert answer.next_measurement
