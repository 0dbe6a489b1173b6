"""What can be done about one worn hole."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.records.machine import shown_name
from fieldlog.report.repair_view import repair_lines
from fieldlog.retrofit.repair_case import worn_hole
from fieldlog.tui import commands
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList


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
        state = self.session.state(self.machine_id)
        found = ((joint, hole) for joint in state.joints for hole in joint.holes if hole.hole.id == self.hole_id)
        pair = next(found, None)
        case = worn_hole(state, *pair) if pair is not None else "This hole is not in the files any more."
        self.query_one(LineList).show(repair_lines(case, self.session.units, self.text_width - 2))

    def action_correct(self) -> None:
        """Write down the eye around the hole."""
        from fieldlog.tui.actions.eyes import correct_eye

        correct_eye(self.logbook_app, self.machine_id, self.hole_id)
