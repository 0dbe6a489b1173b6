"""What can be done about one worn hole."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.records.machine import shown_name
from fieldlog.report.repair_view import hole_repair
from fieldlog.tui import commands
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList
from fieldlog.wear.states import HoleState, JointState


class RepairScreen(LogScreen):
    """The ways to repair a hole, best first, with numbers, parts and cautions."""

    KEYS = commands.REPAIR

    def __init__(self, machine_id: str, hole_id: str) -> None:
        super().__init__()
        self.machine_id = machine_id
        self.hole_id = hole_id

    def body(self) -> Iterable[Widget]:
        """The page, walked down line by line."""
        yield LineList(id="list")

    def title_parts(self) -> tuple[str, str]:
        """Hole and machine."""
        machine = self.session.machine(self.machine_id)
        joint = machine.joint_of(self.hole_id)
        hole = next((hole for hole in machine.holes if hole.id == self.hole_id), None)
        names = [shown_name(part) for part in (joint, hole) if part is not None]
        return f"Repair: {', '.join(names)}", shown_name(machine)

    def redraw(self) -> None:
        """The ways."""
        pair, width = self._pair(), self.text_width - 2
        if pair is None:
            self.query_one(LineList).show(())
            self.say("This hole is not in the files any more.")
            return
        state = self.session.state(self.machine_id)
        self.query_one(LineList).show(hole_repair(state, *pair, self.session.units, width))

    def _pair(self) -> tuple[JointState, HoleState] | None:
        state = self.session.state(self.machine_id)
        found = ((joint, hole) for joint in state.joints for hole in joint.holes if hole.hole.id == self.hole_id)
        return next(found, None)

    def action_budget(self) -> None:
        """Open the numbers to what they rest on."""
        from fieldlog.tui.actions.opened import open_repair

        open_repair(self.logbook_app, self.machine_id, self.title_parts()[0], self._pair)

    def action_correct(self) -> None:
        """Write down the eye around the hole."""
        from fieldlog.tui.actions.eyes import correct_eye

        correct_eye(self.logbook_app, self.machine_id, self.hole_id)
