"""The rates of the whole fleet side by side; Enter opens the joint.

A season over the fleet or on one machine; machines come in one after the other, keys work meanwhile.
"""

import asyncio
import time
from collections.abc import Iterable

from textual import work
from textual.widget import Widget

from fieldlog.pages.fleet import JointTarget
from fieldlog.pages.lines import count_text
from fieldlog.pages.season import rates_lines, season_lines
from fieldlog.records.machine import shown_name
from fieldlog.records.seasons import SeasonStart
from fieldlog.tui import commands
from fieldlog.tui.base import LogScreen
from fieldlog.tui.form import Field, FormScreen
from fieldlog.tui.widgets.lines import LineList
from fieldlog.wear.season import MachineSeason, season_of


class RatesScreen(LogScreen):
    """Shows how fast like joints wear on like machines."""

    KEYS = commands.RATES

    def body(self) -> Iterable[Widget]:
        """The tables."""
        yield LineList(id="list")

    def title_parts(self) -> tuple[str, str]:
        """What it is, and of which logbook."""
        return "Rates of wear, side by side", self.session.head.name

    def redraw(self) -> None:
        """The tables."""
        lines = rates_lines(self.session.rates(), self.session.units, self.text_width - 2)
        self.query_one(LineList).show(lines)

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Open the joint's finding."""
        from fieldlog.tui.screens.finding import FindingScreen

        if isinstance(event.target, JointTarget):
            self.app.push_screen(FindingScreen(event.target.machine, event.target.joint))

    def action_budget(self) -> None:
        """Open the chosen joint's rate, the one it is reckoned with first."""
        from fieldlog.tui.screens.opened import open_rate

        target = self.query_one(LineList).target
        if isinstance(target, JointTarget):
            open_rate(self.desk, target.machine, target.joint)


_DRAW_EVERY_S = 0.5


class SeasonScreen(LogScreen):
    """Shows a season; `machine_id` is empty for the whole fleet."""

    KEYS = commands.SEASON

    def __init__(self, machine_id: str = "") -> None:
        super().__init__()
        self.machine_id = machine_id
        self._back = 0
        self._machines: list[MachineSeason] = []

    def body(self) -> Iterable[Widget]:
        """The page."""
        yield LineList(id="list")

    def title_parts(self) -> tuple[str, str]:
        """Which season, and of what."""
        season = season_of(self.session.logbook, self.session.today(), self._back)
        years = (
            f"{season.start.year}" if season.start.year == season.end.year else f"{season.start.year}/{season.end.year}"
        )
        where = shown_name(self.session.machine(self.machine_id)) if self.machine_id else self.session.head.name
        return f"Season {years}", where

    def redraw(self) -> None:
        """Draw it as it comes; what was worked out before comes at once."""
        self._work_out()

    @work(exclusive=True)
    async def _work_out(self) -> None:
        ids = (self.machine_id,) if self.machine_id else self.session.head.machine_ids
        self._machines, drawn = [], time.monotonic()
        for machine_id in ids:
            self._machines.append(self.desk.seasons.of(self.session, machine_id, self._back))
            if time.monotonic() - drawn > _DRAW_EVERY_S:
                self._draw(len(ids))
                drawn = time.monotonic()
            await asyncio.sleep(0)
        self._draw(len(ids))

    def _draw(self, count: int) -> None:
        if not self.is_current:
            return
        season = season_of(self.session.logbook, self.session.today(), self._back)
        units, with_order = self.session.units, self._back == 0
        lines = season_lines(season, self._machines, units, self.text_width - 2, with_order=with_order)
        self.query_one(LineList).show(lines)
        left = count - len(self._machines)
        self.say(f"{count_text(left, 'machine')} still to be read." if left else "", "dim")

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Open the joint's finding."""
        from fieldlog.tui.screens.finding import FindingScreen

        if isinstance(event.target, JointTarget):
            self.app.push_screen(FindingScreen(event.target.machine, event.target.joint))

    def action_budget(self) -> None:
        """Open the chosen joint's wear, rates and what new greasing did."""
        from fieldlog.tui.screens.opened import open_season

        target = self.query_one(LineList).target
        if isinstance(target, JointTarget):
            open_season(self.desk, target.machine, target.joint, self._back)

    def action_turn(self, by: int) -> None:
        """Show the season before, or after."""
        if self._back + by < 0:
            self.say("This is the season that runs now.", "dim")
            return
        self._back += by
        self.query_one(LineList).to_top()
        self.show_all()

    def action_correct(self) -> None:
        """Ask on which day the season begins."""
        from fieldlog.store.amend import change_record
        from fieldlog.tui.actions.parts import written

        start = self.session.logbook.season_start
        hint = "A day of the year, such as 1 Mar. Empty: 1 March."
        field = Field("start", "Season begins on", start.typed if start else "", hint, check=_check_start)

        def keep(values: object) -> None:
            if isinstance(values, dict):
                new = SeasonStart.from_text(values["start"]) if values["start"] else None
                folder = self.session.folder
                written(self.desk, lambda: change_record(folder, "logbook.toml", "", "", {"season_start": new}))

        self.app.push_screen(FormScreen("When your season begins", (field,)), keep)


def _check_start(text: str) -> None:
    SeasonStart.from_text(text)
