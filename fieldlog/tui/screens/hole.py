"""One hole: the dial, its two sizes, and its history; every day leads to the readings behind it.

What can be done about one worn hole.
"""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.pages.canvas import eye_lines
from fieldlog.pages.hole import contradiction_lines, hole_evidence_lines, hole_repair, shape_lines
from fieldlog.pages.joint import hole_lines, hole_title_parts
from fieldlog.pages.lines import Line
from fieldlog.pages.readings import doubt_lines
from fieldlog.pages.trend import hole_trend_lines
from fieldlog.records.machine import shown_name
from fieldlog.tui import commands
from fieldlog.tui.base import LogScreen
from fieldlog.tui.screens.readings import apart_of
from fieldlog.tui.screens.wear import WearScreen, small_picture
from fieldlog.tui.widgets.lines import LineList
from fieldlog.wear.shapes import hole_details
from fieldlog.wear.states import HoleState, JointState


class HoleScreen(LogScreen):
    """Shows one hole of a machine."""

    KEYS = commands.HOLE

    def __init__(self, machine_id: str, hole_id: str) -> None:
        super().__init__()
        self.machine_id = machine_id
        self.hole_id = hole_id

    def body(self) -> Iterable[Widget]:
        """Dial, numbers and history in one list."""
        yield LineList(id="list")

    def _state(self) -> HoleState | None:
        holes = (hole for joint in self.session.state(self.machine_id).joints for hole in joint.holes)
        return next((hole for hole in holes if hole.hole.id == self.hole_id), None)

    def _joint_state(self) -> JointState | None:
        joints = self.session.state(self.machine_id).joints
        return next((joint for joint in joints if any(hole.hole.id == self.hole_id for hole in joint.holes)), None)

    def title_parts(self) -> tuple[str, str]:
        """Joint and hole; the machine at the right."""
        machine = self.session.machine(self.machine_id)
        joint, state = machine.joint_of(self.hole_id), self._state()
        if state is None:
            return self.hole_id, shown_name(machine)
        return hole_title_parts(state, shown_name(joint) if joint else ""), shown_name(machine)

    def redraw(self) -> None:
        """The page."""
        ascii_only = self.desk.ascii_only
        state = self._state()
        if state is None:
            self.query_one(LineList).show(())
            self.say("This hole is not in the files any more; the problems page may say why.")
            return
        width, units = self.text_width - 2, self.session.units
        joint = self._joint_state()
        wrong = contradiction_lines(joint.pin_answer, width) if joint is not None else ()
        extra = (*wrong, *self._more(state, width))
        of_time = self._of_time(joint, state, width)
        lines = hole_lines(state, units, width, of_time=of_time, ascii_only=ascii_only, extra=extra)
        self.query_one(LineList).show((*lines, *hole_evidence_lines(joint, self.hole_id, width)))

    def _of_time(self, joint: JointState | None, state: HoleState, width: int) -> tuple[Line, ...]:
        """Its wear over the seasons in words, under its picture where that fits."""
        if joint is None:
            return ()
        said = hole_trend_lines(state, joint.trends, self.session.units, width, joint.finding.verdict)
        drawn = small_picture(joint, self.session.units, self.size, self.hole_id, ascii_only=self.desk.ascii_only)
        return (said[0], *drawn, *said[1:]) if said else ()

    def _more(self, state: HoleState, width: int) -> tuple[Line, ...]:
        """Readings that stand apart, the hole in depth, its walls."""
        joints = self.session.state(self.machine_id).joints
        siblings = next((joint.holes for joint in joints if state in joint.holes), ())
        details = hole_details(state, self.session.index(self.machine_id), siblings)
        day, units = details.latest_of(state), self.session.units
        walls = apart_of(self, self.machine_id, "hole", self.hole_id)
        eye: tuple[Line, ...] = ()
        if state.worn is not None:
            eye = eye_lines(
                details.shape.walls, state.worn.value_mm, units, min(width, 45), 13, ascii_only=self.desk.ascii_only
            )
        doubts = doubt_lines(day, units, width) if day else ()
        return (*doubts, *walls, *eye, *shape_lines(details.shape, units, width))

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Show the readings of that day."""
        from fieldlog.tui.screens.readings import ReadingsScreen

        self.app.push_screen(ReadingsScreen(self.machine_id, "hole", self.hole_id, str(event.target)))

    def action_budget(self) -> None:
        """Open the hole's numbers, or those of the day that is chosen."""
        from fieldlog.tui.screens.opened import open_budget

        state, chosen = self._state(), self.query_one(LineList).target
        latest = state.latest.round if state is not None and state.latest is not None else ""
        round_id = str(chosen) if chosen not in {None, latest} else ""
        open_budget(self.desk, self.machine_id, ("hole", self.hole_id), round_id)

    def action_correct(self) -> None:
        """Correct what is written about the hole."""
        from fieldlog.tui.actions.parts import correct

        correct(self.desk, self.machine_id, "holes", self.hole_id)

    def action_evidence(self) -> None:
        """Show other evidence, and take more of it."""
        from fieldlog.tui.screens.evidence import open_evidence

        open_evidence(self.desk, self.machine_id, hole_id=self.hole_id)

    def action_note(self) -> None:
        """Write down wear seen."""
        from fieldlog.tui.actions.evidence import record_note

        record_note(self.desk, self.machine_id, ("hole", self.hole_id))

    def action_picture(self) -> None:
        """Its wear over the seasons as a picture."""
        joint = self._joint_state()
        if joint is not None:
            self.app.push_screen(WearScreen(self.machine_id, joint.joint.id, self.hole_id))

    def action_repair(self) -> None:
        """Show what can be done about the hole."""
        self.app.push_screen(RepairScreen(self.machine_id, self.hole_id))


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
        from fieldlog.tui.screens.opened import open_repair

        open_repair(self.desk, self.machine_id, self.title_parts()[0], self._pair)

    def action_correct(self) -> None:
        """Write down the eye around the hole."""
        from fieldlog.tui.actions.links import correct_eye

        correct_eye(self.desk, self.machine_id, self.hole_id)
