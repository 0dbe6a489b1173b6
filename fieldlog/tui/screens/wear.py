"""Wear over the seasons as a picture, as large as the screen; left and right go through the joint's holes and pin."""

from collections.abc import Iterable, Sequence

from textual.geometry import Size
from textual.widget import Widget

from fieldlog.pages.lines import BLANK, Line, wrapped
from fieldlog.pages.trend import trend_lines
from fieldlog.pages.wear_picture import LEAST_COLUMNS, picture_of
from fieldlog.quantity.lengths import Units
from fieldlog.records.machine import shown_name
from fieldlog.tui import commands
from fieldlog.tui.base import LogScreen
from fieldlog.tui.widgets.lines import LineList
from fieldlog.wear.states import JointState
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
