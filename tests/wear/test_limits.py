"""Which limit is in force, in mm, and who says so."""

import pytest

from fieldlog.records.machine import Joint, JointKind, Limit, Logbook, Machine
from fieldlog.wear.limits import LimitBasis, limits_in_force, pin_limit
from fieldlog.wear.verdicts import LimitInForce
from tests.speaking import spoken
from tests.wear.build import limit

JOINT = Joint("boom", kind="bushed")
HOLE = limit("1.1", "0.9", hole="ear", origin="hole")
OWN = limit("1.2", "0.9", joint="boom", origin="joint")
MACHINE_KIND = limit("1.3", "0.9", kind="bushed", origin="machine, kind")
MACHINE = limit("1.4", "0.9", origin="machine")
FLEET_KIND = limit("1.5", "0.9", kind="bushed", origin="logbook, kind")
OTHERS = (
    limit("9", hole="other", origin="x"),
    limit("9", joint="other", origin="x"),
    limit("9", kind="pivot", origin="x"),
)


def in_force(
    machine: tuple[Limit, ...] = (), fleet: tuple[Limit, ...] = (), joint: Joint = JOINT, pin_mm: float | None = 30.0
) -> LimitInForce:
    """Return the one limit in force for the hole "ear"."""
    (found,) = limits_in_force(
        joint, "ear", Machine("m", limits=machine), Logbook("l", limits=fleet), LimitBasis(pin_mm, None)
    )
    return found


def test_nearest_limit_counts() -> None:
    """Hole before joint before machine's kind before machine before logbook's kind before usual practice."""
    order = [HOLE, OWN, MACHINE_KIND, MACHINE]
    for at, nearest in enumerate(order):
        found = in_force((*OTHERS, *reversed(order[at:])), (FLEET_KIND,))
        assert (found.origin, found.renew_mm) == (nearest.origin, float(nearest.renew.mm))  # type: ignore[union-attr]
    assert in_force(OTHERS, (FLEET_KIND,)).origin == "logbook, kind"
    assert spoken(in_force(OTHERS, OTHERS).origin).startswith("default:")


@pytest.mark.parametrize(
    ("kind", "pin_mm", "watch_mm", "renew_mm"),
    [
        ("pivot", 30.0, 0.21, 0.30),  # 0.7 and 1 % of 30
        ("pivot", 60.0, 0.25, 0.50),
        ("bushed", 30.0, 0.60, 1.00),
        ("bushed", 20.0, 0.40, 0.70),
        ("hitch", 19.0, 1.14, 1.52),
        ("hitch", 30.0, 1.50, 2.00),
    ],
)
def test_default_is_the_smaller_of_length_and_share(
    kind: JointKind, pin_mm: float, watch_mm: float, renew_mm: float
) -> None:
    """Usual practice by kind of joint, worked by hand."""
    found = in_force(joint=Joint("boom", kind=kind), pin_mm=pin_mm)
    assert found.of == "clearance"
    assert [found.watch_mm, found.renew_mm] == pytest.approx([watch_mm, renew_mm])
    assert spoken(found.origin).startswith("default: smaller of ")
    assert spoken(found.origin).endswith("(common practice)")


def test_share_is_of_the_pin() -> None:
    """4 % of a 30 mm pin is 1.2 mm, watch at 2 % is 0.6 mm."""
    found = in_force((limit("4 %", "2 %", joint="boom"),))
    assert [found.watch_mm, found.renew_mm] == pytest.approx([0.6, 1.2])


def test_clearance_limit_without_watch_line_gets_one_and_says_so() -> None:
    """A manual's bare 1.0 mm is watched from 0.65 mm on, and the origin tells which part is not the manual's."""
    found = in_force((limit("1.0", joint="boom"),))
    assert found.watch_mm == pytest.approx(0.65)
    assert spoken(found.origin) == "manual p. 12; watch line at 65 % of it (common practice)"


def test_owners_bore_limit_puts_usual_practice_aside() -> None:
    """Who limits the bore has a limit; an ovality limit alone does not replace the clearance."""
    assert in_force((limit("31.0", joint="boom", of="bore"),)).of == "bore"
    both = limits_in_force(
        JOINT, "ear", Machine("m", limits=(limit("0.5", of="ovality"),)), Logbook("l"), LimitBasis(30.0, None)
    )
    assert {found.of for found in both} == {"ovality", "clearance"}


def test_share_of_bore_and_pin_is_from_the_pins_size() -> None:
    """Bore 8 % over a 25 mm pin is 27 mm; pin 4 % under it is 24 mm, so 1 mm off."""
    machine = Machine("m", limits=(limit("8 %", of="bore"), limit("4 %", "2 %", of="pin")))
    found = limits_in_force(JOINT, "ear", machine, Logbook("l"), LimitBasis(25.0, None))
    assert {item.of: item.renew_mm for item in found} == {"bore": pytest.approx(27.0), "pin": pytest.approx(24.0)}
    worn_off = pin_limit(JOINT, found, 25.0)
    assert [worn_off.watch_mm, worn_off.renew_mm] == pytest.approx([0.5, 1.0])


def test_share_without_a_pin_is_left_out() -> None:
    """Nothing is taken of a pin that nobody knows; a length still counts."""
    machine = Machine("m", limits=(limit("4 %", joint="boom"),))
    assert limits_in_force(JOINT, "ear", machine, Logbook("l"), LimitBasis(None, 30.2)) == ()
    assert in_force((limit("1.0", "0.8", joint="boom"),), pin_mm=None).renew_mm == 1.0


@pytest.mark.parametrize(
    ("pin_mm", "hole_mm", "renew_mm"),
    [
        (31.5, 33.0, 34.98),  # 6 % over the hole as made; a manual prints 35
        (31.5, 34.5, 34.98),  # worn all round: no wider than pin + 1.5 counts as made
        (None, 33.0, 34.98),
        (31.5, None, 34.98),
    ],
)
def test_drawbar_is_judged_by_its_hole(pin_mm: float | None, hole_mm: float | None, renew_mm: float) -> None:
    """A drawbar's hole may grow 6 % over as made, whatever room its pin had when new."""
    joint = Joint("bar", kind="drawbar")
    (found,) = limits_in_force(joint, "", Machine("m"), Logbook("l"), LimitBasis(pin_mm, hole_mm))
    assert found.of == "bore"
    assert found.renew_mm == pytest.approx(renew_mm)
    assert found.watch_mm == pytest.approx(33.0 * 1.03)


@pytest.mark.parametrize(("kind", "off_mm"), [("hitch", 1.5), ("bushed", 1.5), ("drawbar", 1.8)])
def test_pin_may_lose_a_usual_share(kind: JointKind, off_mm: float) -> None:
    """5 % of a 30 mm pin, 6 % on a drawbar; watched from a step of 0.3 mm on."""
    found = pin_limit(Joint("j", kind=kind), (), 30.0)
    assert [found.watch_mm, found.renew_mm] == pytest.approx([0.3, off_mm])
