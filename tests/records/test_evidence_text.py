"""Evidence typed in one line is read as a mechanic writes it; what cannot be read is answered with what can."""

from decimal import Decimal
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.errors import QuantityError
from fieldlog.quantity.units import Units
from fieldlog.records.entries import PlayBy, TrialBy, TrialResult
from fieldlog.records.evidence_text import FactTyped, PlayTyped, TrialTyped, accepted_evidence, parse_evidence
from fieldlog.words.speak import error_text, say
from tests.spoken import refused

SEEDED = settings(max_examples=60, deadline=None, derandomize=True)


@pytest.mark.parametrize(
    ("text", "mm", "result", "by"),
    [
        ("19.05 goes", "19.05", "goes", "pin"),
        ("3/4 no", "19.05", "no", "pin"),
        ("no 3/4", "19.05", "no", "pin"),
        ("3/4 pin goes", "19.05", "goes", "pin"),
        ("pin 3/4 goes through", "19.05", "goes", "pin"),
        ("19.5 shank no", "19.5", "no", "shank"),
        ("19.5 mm drill does not go", "19.5", "no", "shank"),
        ("19.5 one side only", "19.5", "one side only", "pin"),
        ("19.5 shank one way", "19.5", "one side only", "shank"),
        ("49/64 sticks", "19.446875", "one side only", "pin"),
        ("1 in goes", "25.4", "goes", "pin"),
        ("19,5 Goes", "19.5", "goes", "pin"),
        ("0.755 in n", "19.177", "no", "pin"),
    ],
)
def test_trial_is_read(text: str, mm: str, result: TrialResult, by: TrialBy) -> None:
    """Words in any order, the size in any way that sizes are written."""
    (typed,) = parse_evidence(text)
    assert isinstance(typed, TrialTyped)
    assert (typed.size.mm, typed.result, typed.by) == (Decimal(mm), result, by)


@pytest.mark.parametrize(
    ("text", "mm", "by"),
    [
        ("play 0.6", "0.6", "marks"),
        ("play .6 dial", "0.6", "dial"),
        ("play 3/64 rocked", "1.190625", "rocked"),
        ("play 1 in", "25.4", "marks"),
        ("feeler 0.3", "0.3", "feeler"),
        ("0.6 play by dial", "0.6", "dial"),
        ("0.3 feeler", "0.3", "feeler"),
        ("feeler 0.012 in", "0.3048", "feeler"),
        ("feeler 0", "0", "feeler"),
    ],
)
def test_play_is_read(text: str, mm: str, by: PlayBy) -> None:
    """Play says how it was taken, marks when nothing is said."""
    (typed,) = parse_evidence(text)
    assert isinstance(typed, PlayTyped)
    assert (typed.size.mm, typed.by) == (Decimal(mm), by)


@pytest.mark.parametrize(
    ("text", "key", "value"),
    [
        ("keeper linch pin", "keeper", "linch pin"),
        ("keeper cot", "keeper", "cotter"),
        ("pin bolt", "pin_kind", "bolt"),
        ("pin hitch pin", "pin_kind", "hitch pin"),
        ("threads inch", "link_threads", "in"),
        ("thread metric", "link_threads", "mm"),
        ("category 2n", "hitch_category", "2N"),
    ],
)
def test_fact_is_read(text: str, key: str, value: str) -> None:
    """The first letters do where only one word begins with them."""
    (typed,) = parse_evidence(text)
    assert isinstance(typed, FactTyped)
    assert (typed.key, typed.value) == (key, value)


@pytest.mark.parametrize(
    "text", ["19.05 goes, 19.5 no", "19.05 goes; 19.5 no", "19.05 goes,19.5 no", "19,05 goes, 19,5 no"]
)
def test_the_trade_s_own_phrase_is_two_trials(text: str) -> None:
    """A comma parts two pieces, and a decimal comma does not."""
    typed = parse_evidence(text)
    assert [(t.size.mm, t.result) for t in typed if isinstance(t, TrialTyped)] == [
        (Decimal("19.05"), "goes"),
        (Decimal("19.5"), "no"),
    ]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "Nothing typed"),
        ("19.05", "does it go or not?"),
        ("19.05 maybe", "does it go or not?"),
        ("goes", "has no size that can be read"),
        ("play", "has no size"),
        ("twelve goes", "has no size"),
        ("3/0 goes", "an inch is divided in"),
        ("-3 goes", "below zero"),
        ("0 goes", "above 0"),
        ("201 mm no", "at most 200 mm"),
        ("play 60", "more than 50 mm"),
        ("keeper string", "linch pin, cotter"),
        ("pin round", "hitch pin, clevis pin, turned pin, bolt"),
        ("category 9", "0, 1N, 1"),
        ("threads coarse", "threads inch or threads metric"),
        ("19.05 goes, 19.5", "does it go or not?"),
    ],
)
def test_what_cannot_be_read_is_refused_with_what_can(text: str, said: str) -> None:
    """The sentence repeats what was typed and lists the accepted forms."""
    with pytest.raises(QuantityError) as refused:
        parse_evidence(text)
    assert said in error_text(refused.value)
    assert ("goes" in error_text(refused.value)) or (text in error_text(refused.value))


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_every_accepted_form_is_accepted(unit: Units) -> None:
    """What a refusal lists is read, in the unit of a bare number."""
    forms = (
        say(accepted_evidence(unit), unit)
        .removeprefix("Type ")
        .rstrip(".")
        .replace("; or ", ", ")
        .replace(" or ", ", ")
        .split(", ")
    )
    assert len(forms) == 10
    for form in forms:
        assert len(parse_evidence(form, unit)) == 1


@SEEDED
@given(
    st.decimals("0.1", "199", places=2),
    st.sampled_from(get_args(TrialResult)),
    st.sampled_from(get_args(TrialBy)),
    st.permutations([0, 1, 2]),
)
def test_words_may_stand_in_any_order(size: Decimal, result: TrialResult, by: TrialBy, order: list[int]) -> None:
    """The same trial is read whichever way round it is typed, except that a line cannot begin with a bare "pin no"."""
    parts = [f"{size} mm", result, by]
    (typed,) = parse_evidence(" ".join(parts[n] for n in order))
    assert isinstance(typed, TrialTyped)
    assert (typed.size.mm, typed.result, typed.by) == (size, result, by)


@SEEDED
@given(st.text(max_size=30))
def test_anything_typed_is_read_or_refused(text: str) -> None:
    """No text whatever breaks the line."""
    try:
        typed = parse_evidence(text)
    except QuantityError:
        return
    assert typed


@pytest.mark.parametrize("text", ["letter F shank goes", "#10 shank no", "f drill goes"])
def test_a_letter_or_number_drill_is_asked_for_its_size(text: str) -> None:
    """Drill charts: Z, the largest of them, is 0.413 in; no pin here is so thin."""
    with refused("thinner than any pin", QuantityError):
        parse_evidence(text)
