"""A joint's verdict in full: why, against which limit, what to do next, which pin, what was seen."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.pages.joint import finding_lines
from fieldlog.records.machine import shown_name
from fieldlog.tui import commands
from fieldlog.tui.base import LogScreen
from fieldlog.tui.screens.evidence import apart_of
from fieldlog.tui.screens.hole import WearScreen, small_picture
from fieldlog.tui.widgets.lines import LineList
from fieldlog.wear.states import JointState
from fieldlog.wear.trends.rates import Beside


class FindingScreen(LogScreen):
    """Shows one joint's finding."""

    KEYS = commands.FINDING

    def __init__(self, machine_id: str, joint_id: str) -> None:
        super().__init__()
        self.machine_id = machine_id
        self.joint_id = joint_id

    def body(self) -> Iterable[Widget]:
        """The text, scrolled with the arrows; its holes can be opened."""
        yield LineList(id="list")

    def title_parts(self) -> tuple[str, str]:
        """Joint and machine."""
        state = self._state()
        return shown_name(state.joint) if state is not None else self.joint_id, shown_name(
            self.session.machine(self.machine_id)
        )

    def redraw(self) -> None:
        """The finding."""
        state = self._state()
        if state is None:
            self.query_one(LineList).show(())
            self.say("This joint is not in the files any more; the problems page may say why.")
            return
        beside, units = Beside(self.machine_id, self.session.rates()), self.session.units
        drawn = small_picture(state, units, self.size, ascii_only=self.desk.ascii_only)
        lines = finding_lines(state, units, self.text_width - 2, beside, drawn)
        self.query_one(LineList).show((*lines, *apart_of(self, self.machine_id, "joint", self.joint_id)))

    def _state(self) -> JointState | None:
        states = self.session.state(self.machine_id).joints
        return next((state for state in states if state.joint.id == self.joint_id), None)

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Open one of its holes."""
        from fieldlog.tui.screens.hole import HoleScreen

        self.app.push_screen(HoleScreen(self.machine_id, str(event.target)))

    def action_evidence(self) -> None:
        """Show other evidence, and take more of it."""
        from fieldlog.tui.screens.evidence import open_evidence

        open_evidence(self.desk, self.machine_id, joint_id=self.joint_id)

    def action_budget(self) -> None:
        """Open clearance, pin and the holes' sizes."""
        from fieldlog.tui.screens.opened import open_budget

        open_budget(self.desk, self.machine_id, ("joint", self.joint_id))

    def action_picture(self) -> None:
        """Wear over the seasons as a picture."""
        self.app.push_screen(WearScreen(self.machine_id, self.joint_id))

    def action_levers(self) -> None:
        """Write down how its slack reaches the tool, and how often it is greased."""
        from fieldlog.tui.actions.links import ask_levers

        ask_levers(self.desk, self.machine_id, self.joint_id)

    def action_deed(self) -> None:
        """Write down work done on it, or put off."""
        from fieldlog.tui.actions.evidence import record_deed

        record_deed(self.desk, self.machine_id, ("joint", self.joint_id))

    def action_readings(self) -> None:
        """Show every entry about this joint."""
        from fieldlog.tui.screens.evidence import ReadingsScreen

        self.app.push_screen(ReadingsScreen(self.machine_id, "joint", self.joint_id))
