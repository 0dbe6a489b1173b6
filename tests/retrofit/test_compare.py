"""Offers against a link: verdicts, the worst point first, the order and its reasons."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.records.machine import Link, LinkPosition
from fieldlog.records.offer import Offer
from fieldlog.retrofit.offers.compare import Compared, compare, ranked, why_after
from fieldlog.retrofit.offers.sense import Level, OfferVerdict
from fieldlog.words.speak import say
from tests.retrofit.offers import EXAMPLE_NEED, A, B, C, D, offer, spoken, taped, top_link, topic


def said(item: Compared, about: str) -> str:
    """The sentence of one point."""
    return next(spoken(check) for check in item.points if topic(check) == about)


@pytest.mark.parametrize(
    ("item", "verdict", "words"),
    [
        (A, OfferVerdict.FITS, "57.0 ± 1.0 mm in hand"),
        (B, OfferVerdict.FITS, "6.0 ± 1.0 mm in hand; 10.0 mm is wanted"),
        (C, OfferVerdict.NO, "58.0 ± 1.0 mm short of the 718 mm needed: 7.2 degrees of nose-up lost"),
        (D, OfferVerdict.NO, "20.0 ± 1.0 mm too long for the 590 mm needed: 2.5 degrees of nose-down lost"),
    ],
)
def test_the_needed_range_decides_first(item: Offer, verdict: OfferVerdict, words: str) -> None:
    """The worked example: A has reserve at both ends, B 6 mm closed, C opens 58 mm short, D closes 20 mm too long.

    A seller's limit of 1 mm alone is within 0.95 mm, 95 times in 100.
    """
    found = compare(item, top_link(), EXAMPLE_NEED)
    assert found.verdict is verdict
    assert words in " ".join(spoken(check) for check in found.points)


def test_the_links_own_range_comes_second_once_the_need_is_known() -> None:
    """B closes 24 mm longer than the screw and is still no worse for it than a remark."""
    found = compare(B, top_link(), EXAMPLE_NEED)
    against_link = [check for check in found.points if topic(check).endswith("end, link")]
    assert len(against_link) == 2
    assert max(check.level for check in against_link) is Level.NOTE


def test_without_a_need_closing_long_weighs_more_than_opening_short() -> None:
    """Of two offers off by the same amount, the one that closes short comes first, and says why."""
    short, long = offer("short", "535 mm", "787 mm", "252 mm"), offer("long", "585 mm", "837 mm", "252 mm")
    first, second = ranked([compare(item, top_link()) for item in (long, short)])
    assert (first.offer.name, second.offer.name) == ("short", "long")
    assert "25.0 ± 1.5 mm longer" in said(second, "closed end, link")
    assert "3.1 degrees" in said(second, "closed end, link")
    assert "less reach" in say(why_after(first, second), "mm")


def test_the_doubt_of_both_is_carried_through() -> None:
    """Closes 6 mm short, plus or minus what the tape and the seller leave open together."""
    found = compare(offer("x", "554 mm", "812 mm", "258 mm"), top_link())
    assert said(found, "closed end, link").startswith("Closes 6.0 ± 1.5 mm shorter")
    found = compare(offer("x", "561 mm", "812 mm", "251 mm"), top_link())
    assert said(found, "closed end, link") == "Closes the same within 1.5 mm as the link."


def test_worst_point_stands_first_and_decides() -> None:
    """A pin that cannot go on outranks a loss of reach."""
    ends = {"rod_end_hole": "16.5 mm", "cap_end_hole": "3/4 in", "rod_end": "ball"}
    found = compare(offer("x", "600 mm", "812 mm", "212 mm", **ends), top_link())
    assert found.verdict is OfferVerdict.NO
    assert "never drilled" in spoken(found.worst)


@pytest.mark.parametrize(
    ("lengths", "words"),
    [
        (("533 mm", "737 mm", "220 mm"), "16.0 mm apart"),
        (("737 mm", "533 mm", "203 mm"), "not longer than closed"),
        (("", "737 mm", "203 mm"), "closed length is not known"),
        (("180 mm", "390 mm", "210 mm"), "does not fit into a closed length"),
    ],
)
def test_an_offer_that_contradicts_itself_is_held(lengths: tuple[str, str, str], words: str) -> None:
    """It is unclear, says which numbers, and no reach is worked out from it; its pins still are."""
    found = compare(offer("x", *lengths, rod_end_hole="3/4 in", cap_end_hole="3/4 in"), top_link())
    assert found.verdict is OfferVerdict.UNCLEAR
    assert words in spoken(found.worst)
    assert not [check for check in found.points if "end, link" in topic(check)]
    assert [check for check in found.points if topic(check).startswith("pin")]
    assert found.sense.dead_mm is None


def test_a_rod_larger_than_its_bore_is_named_and_the_lengths_still_compared() -> None:
    """What does not come from the two sizes is worked out all the same."""
    found = compare(offer("x", "533 mm", "737 mm", "203 mm", bore="1-1/4 in", rod="2 in"), top_link())
    assert found.verdict is OfferVerdict.UNCLEAR
    assert "does not go into a bore" in spoken(found.worst)
    assert said(found, "closed end, link").startswith("Closes 27.0")


@pytest.mark.parametrize("stroke", ["201 mm", "203 mm", "207 mm"])
def test_three_millimetres_of_disagreement_are_let_pass(stroke: str) -> None:
    """533 to 737 is 204: 201 and 207 are exactly 3 mm off."""
    found = compare(offer("x", "533 mm", "737 mm", stroke), top_link())
    assert found.verdict is not OfferVerdict.UNCLEAR


def test_a_little_more_than_three_millimetres_is_not() -> None:
    """3.1 mm are held."""
    held = compare(offer("x", "533 mm", "737 mm", "200.9 mm"), top_link())
    assert held.verdict is OfferVerdict.UNCLEAR


@pytest.mark.parametrize(("item", "dead_mm"), [(A, 330), (B, 381), (C, 356), (D, 407)])
def test_dead_length_is_closed_less_stroke(item: Offer, dead_mm: float) -> None:
    """533 - 203, 584 - 203, 508 - 152, 610 - 203."""
    assert compare(item, top_link()).sense.dead_mm == pytest.approx(dead_mm)


def test_what_is_measured_in_hand_outranks_what_is_stated() -> None:
    """The measured length is used, and the disagreement is said."""
    import datetime

    from fieldlog.quantity.lengths import parse_length
    from fieldlog.records.offer import InHand

    hand = InHand(day=datetime.date(2026, 11, 20), who="ada", closed=parse_length("545 mm"))
    found = compare(replace(A, measured=(hand,), stroke=None), top_link())
    assert said(found, "closed end, link").startswith("Closes 15.0")
    assert "12.0 mm more; the measured one is used" in said(found, "in hand")


def test_the_length_in_use_must_be_reached_with_reserve() -> None:
    """A link set to 654 mm: a cylinder that opens to 660 leaves 6 mm, one that opens to 650 is out."""
    facts = top_link(as_set=taped(654))
    assert "Only 6.0 mm in hand open" in said(compare(C, facts), "length in use")
    assert compare(offer("x", "500 mm", "650 mm", "150 mm"), facts).verdict is OfferVerdict.NO


@pytest.mark.parametrize(
    ("closed", "opened", "words"),
    [
        ("425 mm", "527 mm", "Mid stroke is the other rod"),
        ("445 mm", "547 mm", "unequal roll"),
        ("480 mm", "582 mm", "never be level"),
        ("380 mm", "470 mm", "never be level"),
    ],
)
def test_a_lift_rod_is_level_at_mid_stroke(closed: str, opened: str, words: str) -> None:
    """Closed + stroke/2 on the other rod is good; off it the roll is unequal; out of reach it can never be level."""
    rod = top_link(link=Link("rod", position="lift rod"), other_rod=taped(475.6), mast=None)
    assert words in said(compare(offer("x", closed, opened), rod), "mid stroke")


def test_what_is_missing_is_asked_for_and_hides_nothing() -> None:
    """An offer of two lengths alone is compared all the same."""
    found = compare(offer("x", "533 mm", "737 mm"), top_link())
    assert found.count(Level.ASK) >= 3
    assert said(found, "closed end, link").startswith("Closes 27.0")


@given(
    closed=st.integers(300, 800),
    travel=st.integers(50, 400),
    link_closed=st.integers(400, 700),
    link_travel=st.integers(60, 300),
)
def test_reach_lost_is_the_plain_difference_outside_the_doubt(
    closed: int, travel: int, link_closed: int, link_travel: int
) -> None:
    """By plain arithmetic: a loss within 1.5 mm of doubt is none, the closed end counts three times."""
    facts = top_link(closed=taped(link_closed), open=taped(link_closed + link_travel))
    found = compare(offer("x", f"{closed} mm", f"{closed + travel} mm"), facts)
    long_mm, short_mm = closed - link_closed, (link_closed + link_travel) - (closed + travel)
    expected = (3 * long_mm if long_mm >= 2 else 0) + (short_mm if short_mm >= 2 else 0)
    assert found.cost_mm == pytest.approx(expected)


@pytest.mark.parametrize("position", ["top link", "lift rod"])
def test_nothing_fits_a_link_that_nobody_taped(position: LinkPosition) -> None:
    """Without its lengths and without a need it is unclear, and the point that decides says what to measure."""
    facts = top_link()
    untaped = replace(facts, link=replace(facts.link, position=position), closed=None, open=None, as_set=None)
    found = compare(A, untaped)
    assert found.verdict is OfferVerdict.UNCLEAR
    assert "not taped" in spoken(found.worst)
    assert compare(A, untaped, EXAMPLE_NEED).verdict is OfferVerdict.FITS
