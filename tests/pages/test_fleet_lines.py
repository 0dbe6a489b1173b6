"""The page of a large fleet is made as it is seen."""

from fieldlog.app.overview import DueText, MachineBack
from fieldlog.pages.fleet import FleetLines, JointTarget, MachineTarget, Standing
from fieldlog.wear.summary import MachineSummary, Named, place_of
from fieldlog.wear.verdicts import Verdict


def machine(number: int) -> MachineBack:
    """A machine with one joint that is due."""
    named, joint = Named(f"m{number:03}", f"Machine {number}"), Named("pin", "Pin")
    item = DueText(named, joint, Verdict.PLAN, "Wears.", "Order.", "", "", "", (-3.0, float(number)))
    summary = MachineSummary(named, "digger", None, None, Verdict.PLAN, 3, ((Verdict.PLAN, 1),))
    return MachineBack(summary, (item,), ())


FLEET = {found.summary.machine.id: found for found in map(machine, range(500))}
STANDING = [Standing(name, one.summary.severity, [place_of(item) for item in one.due]) for name, one in FLEET.items()]


def test_only_machines_that_are_seen_are_asked_for() -> None:
    """A screenful asks for a screenful; where a line stands is known without asking anybody."""
    asked: list[str] = []

    def back_of(name: str) -> MachineBack:
        asked.append(name)
        return FLEET[name]

    page = FleetLines(STANDING, (), (), back_of, 78)
    assert len(page) == 500 + 500 + 3
    assert page.index_of(JointTarget("m321", "pin")) == 322
    assert page.index_of(MachineTarget("m321")) == 321 + 503
    assert asked == []
    for _ in range(2):
        assert [page[number].target for number in range(1, 21)] == [JointTarget(f"m{n:03}", "pin") for n in range(20)]
    assert asked == [f"m{number:03}" for number in range(20)]
    assert "Machine 499" in page[1002].text
    assert asked[20:] == ["m499"]


def test_a_row_that_came_to_nothing_can_still_be_chosen() -> None:
    """What stands behind a place may have been worked out anew between two drawings, and be due no more."""
    page = FleetLines(STANDING[:1], (), (), lambda name: machine(7), 78)
    assert page[1].target == JointTarget("m000", "pin")
    assert page[1].text == ""


def test_what_is_borrowed_stands_in_for_the_machines_own_row() -> None:
    """In its own place; one that the machine does not list itself comes to it."""
    own = FLEET["m002"].due[0]
    borrowed = (
        DueText(own.machine, own.joint, Verdict.PLAN, "B", "Next.", "borrowed", "", "", (-9.0,)),
        DueText(own.machine, Named("boom", "Boom"), Verdict.SOUND, "B", "Next.", "too", "", "", (-1.0,)),
    )
    page = FleetLines(STANDING[:4], borrowed, (), FLEET.__getitem__, 78)
    targets = [
        JointTarget("m002", "pin"),
        *(JointTarget(f"m00{n}", "pin") for n in (0, 1, 3)),
        JointTarget("m002", "boom"),
    ]
    assert [page[number].target for number in range(1, 6)] == targets
    assert "borrowed" in page[1].text
    assert page.due_item(targets[-1]) == borrowed[1]
