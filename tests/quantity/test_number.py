"""A number declared once: worked out from what it says, or saying what it lacks; a mistake raises and is never 0."""

import math

import pytest

from fieldlog.quantity.number import Behind, Found, Missing, Number, Numbers, missing, of_plain
from fieldlog.quantity.source import Unsound, limit
from fieldlog.quantity.value import Interval, Refusal, Value


class CannotReach(Refusal):
    """Two links that do not meet."""


HOLE, PIN = Value(20.3, "mm", (limit("blue/inside", 0.03),)), Value(19.9, "mm", (limit("blue/outside", 0.02),))
CLEARANCE = Number("clearance", "mm", ("hole", "pin"), lambda v: v["hole"] - v["pin"], "less", ("clearance", "eye"))
SHARE = Number("share", "%", ("clearance", "pin"), of_plain(lambda v: 100 * v["clearance"] / v["pin"], "%"))


def test_a_number_is_worked_out_from_its_inputs() -> None:
    """By hand: 20.3 - 19.9 mm, with limits of 0.03 and 0.02 mm; as a share of the pin 2.01 %."""
    numbers = Numbers([SHARE, CLEARANCE], {"hole": HOLE, "pin": PIN})
    assert numbers.value("clearance").value == pytest.approx(0.4)
    assert numbers.value("clearance").u == pytest.approx(math.hypot(0.03, 0.02) / math.sqrt(3))
    assert numbers.value("share").value == pytest.approx(100 * 0.4 / 19.9)
    assert numbers["hole"] is HOLE
    assert numbers.declared("clearance") is CLEARANCE
    assert numbers.declared("hole") is None
    assert list(numbers) == ["hole", "pin", "share", "clearance"]
    assert len(numbers) == 4


def test_a_number_is_worked_out_once() -> None:
    """Two that rest on it, and whoever shows it, get the same."""
    times: list[int] = []

    def count(_: object) -> Value:
        times.append(1)
        return HOLE

    numbers = Numbers([Number("hole", "mm", (), count), CLEARANCE, SHARE], {"pin": PIN})
    assert times == []
    assert numbers.value("share").value > 0
    assert numbers.value("clearance").value > 0
    assert numbers["hole"] is numbers["hole"]
    assert times == [1]


def test_an_undeclared_number_is_a_mistake_everywhere() -> None:
    """Not even `get` with something to stand in gives an answer, and no number may rest on one."""
    numbers = Numbers([CLEARANCE], {"hole": HOLE, "pin": PIN})
    assert "clearence" not in numbers
    for ask in (numbers.__getitem__, numbers.get, numbers.value, numbers.declared):
        with pytest.raises(Unsound, match="no number is called clearence"):
            ask("clearence")
    with pytest.raises(Unsound, match="no number is called clearence"):
        numbers.get("clearence", HOLE)
    with pytest.raises(Unsound, match="share is worked out from clearance, which nobody declared"):
        Numbers([SHARE], {"pin": PIN})


def test_what_lacks_is_told_all_the_way_up() -> None:
    """The hole and the pin were not measured: both are named, once each."""
    numbers = Numbers([CLEARANCE, SHARE], {"hole": missing("hole"), "pin": missing("pin")})
    assert numbers["clearance"] == Missing("clearance", ("hole", "pin"))
    assert numbers["share"] == Missing("share", ("hole", "pin"))
    with pytest.raises(Unsound, match="share has no value here"):
        numbers.value("share")


def test_a_refusal_is_the_answer_of_all_that_rests_on_it() -> None:
    """What cannot reach stays that, and what lacks besides comes first, since it can be measured."""
    gap = CannotReach()

    def reach(_: object) -> Found:
        return gap

    half = Number("half", "mm", ("clearance",), lambda v: v["clearance"] / 2)
    both = Number("both", "mm", ("clearance", "pin"), lambda v: v["clearance"] + v["pin"])
    declared = [Number("clearance", "mm", (), reach), half, both]
    numbers = Numbers(declared, {"pin": missing("pin")})
    assert numbers["clearance"] is numbers["half"] is gap
    assert numbers["both"] == Missing("both", ("pin",))
    assert Numbers([half], {"clearance": gap})["half"] is gap


def test_a_circle_is_a_mistake_that_names_its_way() -> None:
    """A from b from a; afterwards other numbers are still told."""
    one, other = (Number(a, "mm", (b,), lambda v: next(iter(v.values()))) for a, b in (("a", "b"), ("b", "a")))
    numbers = Numbers([one, other, CLEARANCE], {"hole": HOLE, "pin": PIN})
    for name, way in (("a", "a from b from a"), ("b", "b from a from b")):
        with pytest.raises(Unsound, match=f"a circle: {way}"):
            numbers.value(name)
    assert numbers.value("clearance").unit == "mm"


@pytest.mark.parametrize("found", [Value(1.0, "in"), Interval(1.0, 0.5, math.inf, "in")])
def test_an_answer_in_another_unit_is_a_mistake(found: Found) -> None:
    """Declared in mm, it may not come in inches."""
    with pytest.raises(Unsound, match="hole comes in in, declared in mm"):
        Numbers([Number("hole", "mm", (), lambda _: found)], {})["hole"]


def test_an_interval_is_an_answer_and_nothing_is_worked_out_from_it() -> None:
    """Its ends have no doubt that could be carried over."""
    due = Number("due", "h", (), lambda _: Interval(480.0, 290.0, 720.0, "h"))
    half = Number("half", "h", ("due",), lambda v: v["due"] / 2)
    numbers = Numbers([due, half], {})
    assert numbers["due"] == Interval(480.0, 290.0, 720.0, "h")
    with pytest.raises(Unsound, match="half is worked out from an interval"):
        numbers.value("half")


def test_a_number_is_declared_once() -> None:
    """Neither twice nor beside one that is known already."""
    for declared, known in (([CLEARANCE, CLEARANCE], {"hole": HOLE, "pin": PIN}), ([CLEARANCE], {"clearance": HOLE})):
        with pytest.raises(Unsound, match="clearance is declared twice"):
            Numbers(declared, known)


def test_what_stands_behind_a_number_is_collected_what_weighs_most_first() -> None:
    """By hand: of 100 hole / pin the hole's 0.03 mm leave 0.15, the pin's 0.2 mm 1.03; a difference keeps its order."""
    behind = {"hole": Behind(("round 09:00",), ("both",)), "pin": Behind((), ("pin: 19.9 mm", "both"))}
    share = Number("of_pin", "%", ("hole", "pin"), of_plain(lambda v: 100 * v["hole"] / v["pin"], "%"))
    wide = Value(19.9, "mm", (limit("blue/outside", 0.2),))
    numbers = Numbers([CLEARANCE, share], {"hole": HOLE, "pin": wide}, behind)
    assert numbers.behind("pin") == behind["pin"]
    assert numbers.behind("clearance") == Behind(("round 09:00",), ("both", "pin: 19.9 mm"))
    assert numbers.behind("of_pin") == Behind(("round 09:00",), ("pin: 19.9 mm", "both"))


def test_an_input_that_leaves_no_doubt_is_not_behind_and_one_without_doubt_comes_last() -> None:
    """Of the larger of two nothing of the other is left; a plain size stands behind what it is part of."""
    plain = Value(5.0, "mm")
    most = Number("most", "mm", ("small", "large", "plain"), of_plain(lambda v: max(v["small"], v["large"]), "mm"))
    known = {"small": PIN, "large": HOLE, "plain": plain}
    numbers = Numbers([most], known, {key: Behind((), (key,)) for key in known})
    assert numbers.behind("most").typed == ("large", "plain")


def test_something_behind_what_is_not_known_is_a_mistake() -> None:
    """A slip in an id never hides a reading."""
    with pytest.raises(Unsound, match="behind hloe, which is not known"):
        Numbers([CLEARANCE], {"hole": HOLE, "pin": PIN}, {"hloe": Behind(("a key",))})
    with pytest.raises(Unsound, match="no number is called clearence"):
        Numbers([CLEARANCE], {"hole": HOLE, "pin": PIN}).behind("clearence")
