"""Wear over the seasons as a picture, as large as the screen; left and right go through the joint's holes and pin.

One hole: the dial, its two sizes, and its history; every day leads to the readings behind it.
"""

from collections.abc import Iterable, Sequence

from textual.geometry import Size
from textual.widget import Widget

from fieldlog.pages.canvas import eye_lines
from fieldlog.pages.hole import contradiction_lines, hole_evidence_lines, hole_repair, shape_lines
from fieldlog.pages.joint import hole_lines, hole_title_parts, hole_trend_lines, trend_lines
from fieldlog.pages.lines import BLANK, Line, wrapped
from fieldlog.pages.readings import doubt_lines
from fieldlog.pages.wear_picture import LEAST_COLUMNS, picture_of
from fieldlog.quantity.units import Units
from fieldlog.records.machine import shown_name
from fieldlog.tui import commands
from fieldlog.tui.base import LogScreen
from fieldlog.tui.screens.evidence import apart_of
from fieldlog.tui.widgets.lines import LineList
from fieldlog.wear.shapes import hole_details
from fieldlog.wear.states import HoleState, JointState
from fieldlog.wear.trends.rates import main_trend
from fieldlog.wear.trends.records import Trend
from fieldlog.words.trend import thing_text

_SMALL_ROWS = 11
_LEAST_HEIGHT = 24
_LEAST_ROWS = 10


def small_picture(
    state: JointState, units: Units, size: Size, hole_id: str = "", *, ascii_only: bool
) -> tuple[Line, ...]:
    """Return the picture for a page that shows more; nothing where it does not fit or there is only one day."""
    trend = main_trend(state)
    if hole_id:
        trend = next((t for t in state.trends if t.of == "clearance" and t.hole == hole_id), None)
    if trend is None or len(trend.points) < 2 or size.height < _LEAST_HEIGHT or size.width - 4 < LEAST_COLUMNS:
        return ()
    return picture_of(trend, units, size.width - 4, _SMALL_ROWS, ascii_only=ascii_only)


class WearScreen(LogScreen):
    """Draws one trend of a joint; `hole_id` is shown first when given."""

    KEYS = commands.WEAR

    def __init__(self, machine_id: str, joint_id: str, hole_id: str = "") -> None:
        super().__init__()
        self.machine_id = machine_id
        self.joint_id = joint_id
        self._hole_id = hole_id
        self._turned: int | None = None

    def body(self) -> Iterable[Widget]:
        """The picture with its words below, scrolled with the arrows."""
        yield LineList(id="list")

    def _state(self) -> JointState | None:
        states = self.session.state(self.machine_id).joints
        return next((state for state in states if state.joint.id == self.joint_id), None)

    def _trends(self) -> Sequence[Trend]:
        state = self._state()
        return [trend for trend in state.trends if trend.points] if state is not None else []

    def _at(self) -> int:
        """Which trend is shown: what was turned to, else that of the hole, else what the joint is known by."""
        trends, state = self._trends(), self._state()
        if self._turned is not None and trends:
            return self._turned % len(trends)
        known = main_trend(state) if state is not None else None
        of_hole = [n for n, trend in enumerate(trends) if self._hole_id and trend.hole == self._hole_id]
        return next(iter(of_hole), next((n for n, trend in enumerate(trends) if trend is known), 0))

    def title_parts(self) -> tuple[str, str]:
        """Joint and what is drawn; which of how many."""
        trends, state = self._trends(), self._state()
        name = shown_name(state.joint) if state is not None else self.joint_id
        if not trends or state is None:
            return name, ""
        trend = trends[self._at()]
        hole = next((shown_name(h.hole) for h in state.holes if h.hole.id == trend.hole), "")
        worn = "wear of the " if trend.of in {"pin", "bush wall"} else ""
        what = f"{worn}{thing_text(trend.of)}"
        return f"{name}, {hole + ', ' if hole else ''}{what}", f"{self._at() + 1} of {len(trends)}"

    def redraw(self) -> None:
        """The picture, then what it says."""
        trends, state, width = self._trends(), self._state(), self.text_width - 2
        if not trends or state is None:
            self.query_one(LineList).show(wrapped("Not measured yet, so there is nothing to draw.", width, "", "dim"))
            return
        trend, units = trends[self._at()], self.session.units
        rows = max(self.size.height - 9, _LEAST_ROWS)
        drawn = picture_of(trend, units, width, rows, ascii_only=self.desk.ascii_only)
        said = trend_lines(trend, units, width, state.finding.verdict)
        self.query_one(LineList).show((*drawn, BLANK, *said))

    def action_budget(self) -> None:
        """Open what is drawn: when its limits are reached, its chances, its rate and its days."""
        from fieldlog.tui.screens.opened import open_trend

        trends = self._trends()
        if trends:
            trend = trends[self._at()]
            open_trend(self.desk, self.machine_id, self.joint_id, (trend.of, trend.hole))

    def action_turn(self, by: int) -> None:
        """Show another trend."""
        self._turned = self._at() + by
        self.query_one(LineList).to_top()
        self.show_all()


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
                details.shape.walls, state.worn.value, units, min(width, 45), 13, ascii_only=self.desk.ascii_only
            )
        doubts = doubt_lines(day, units, width) if day else ()
        return (*doubts, *walls, *eye, *shape_lines(details.shape, units, width))

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Show the readings of that day."""
        from fieldlog.tui.screens.evidence import ReadingsScreen

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
