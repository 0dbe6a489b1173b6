"""The hitch from the side, moving as its holes, links and heights are tried; nothing is stored unless asked."""

from collections.abc import Iterable

from textual.widget import Widget

from fieldlog.errors import QuantityError
from fieldlog.measure.rounding import mm_text
from fieldlog.records.machine import shown_name
from fieldlog.records.quantities import parse_length
from fieldlog.report.hitch_view import knob_value, page_lines
from fieldlog.report.lines import wrapped
from fieldlog.retrofit.steps import KNOB_WORDS
from fieldlog.tui import commands
from fieldlog.tui.hitch_work import HitchWork
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.screens.form import Field, FormScreen
from fieldlog.tui.widgets.pane import Pane

_NOTHING = (
    "No hitch is written down for this machine. Give it its hitch category (c on the machine's page), and the usual "
    "figures of that category stand in, marked, until they are measured; c here types what you measured."
)


class HitchScreen(LogScreen):
    """Up and down choose, left and right change; the picture and the numbers follow."""

    KEYS = commands.HITCH

    def __init__(self, machine_id: str, implement_id: str = "") -> None:
        super().__init__()
        self.machine_id = machine_id
        self._wanted = implement_id
        self._work: HitchWork | None = None

    @property
    def work(self) -> HitchWork:
        """The hitch that is looked at."""
        if self._work is None:
            self._work = HitchWork(self.session, self.machine_id, self._wanted)
        return self._work

    def body(self) -> Iterable[Widget]:
        """One page of lines."""
        yield Pane(id="pane")

    def title_parts(self) -> tuple[str, str]:
        """The tractor and what hangs on it."""
        name = shown_name(self.session.machine(self.machine_id))
        setup = self.work.setup
        item = setup.implement if setup is not None else None
        return f"{name}, hitch" + (f" with {item.name or item.id}" if item is not None else ""), "what if"

    def show_all(self) -> None:
        """Title, footer, page, and what is wrong in the files about this hitch."""
        if self.size.width and self.is_attached and self.work.problem:
            self.say(self.work.problem)
        super().show_all()

    def redraw(self) -> None:
        """Show the page for what is tried now."""
        pane = self.query_one(Pane)
        width, height = pane.size
        if not height:
            return  # not laid out yet; it tells when it is
        page = self.work.page()
        if page is None:
            pane.show(wrapped(_NOTHING, width))
            return
        pane.show(page_lines(page, self.session.units, width, height, ascii_only=self.logbook_app.ascii_only))

    def on_pane_resized(self, event: Pane.Resized) -> None:
        """Lay the page out for another size."""
        self.redraw()

    def action_pick(self, step: int) -> None:
        """Choose what to change."""
        self.work.choose(step)
        self._tried()

    def action_turn(self, way: int) -> None:
        """Change it."""
        self.work.turn(way, self.session.units)
        self._tried()

    def _tried(self) -> None:
        if self.query_one("#message").display and not self.work.problem:
            self.say("")
        self.redraw()

    def action_reset(self) -> None:
        """Back to what is written down."""
        self.work.reset()
        self.redraw()

    def action_implement(self) -> None:
        """Try the next implement."""
        self.work.next_implement()
        self.show_all()

    def action_table(self) -> None:
        """Show all the numbers for what is tried."""
        from fieldlog.tui.screens.hitch_numbers import HitchNumbersScreen

        if self.work.page() is not None:
            self.app.push_screen(HitchNumbersScreen(self.work, self.title_parts()[0]))

    def action_budget(self) -> None:
        """Open the numbers for what is tried to what they rest on."""
        from fieldlog.tui.actions.opened import open_hitch

        open_hitch(self.logbook_app, self.work, self.title_parts()[0])

    def action_keep(self) -> None:
        """Write down the holes tried as those in use."""
        from fieldlog.tui.actions.hitch import keep_holes

        keep_holes(self.logbook_app, self.work)

    def action_correct(self) -> None:
        """Show what is measured, to add to it and to correct it."""
        from fieldlog.tui.screens.hitch_parts import HitchPartsScreen

        def again(_: object) -> None:
            self.work.read()
            self.show_all()

        self.app.push_screen(HitchPartsScreen(self.machine_id), again)

    def action_type(self) -> None:
        """Type a length for what is chosen."""
        work, units = self.work, self.session.units
        if work.setup is None or work.setting is None or not work.is_length:
            self.say("A hole is chosen with left and right; a length can be typed too.", "dim")
            return
        now = knob_value(work.setup, work.setting, work.knob, units)

        def check(text: str) -> None:
            if parse_length(text, units).mm <= 0:
                raise QuantityError(f'"{text}" is no length; type one such as {mm_text(654, units, 0)}.')

        def keep(values: object) -> None:
            if isinstance(values, dict):
                work.set_to(float(parse_length(values["to"], units).mm))
                self.redraw()

        hint = f"Now {now}. It is kept within what the hitch and the links can do, and is not stored."
        field = Field("to", "Try it at", "", hint, required=True, check=check)
        self.app.push_screen(FormScreen(f"Try another {KNOB_WORDS[work.knob]}", (field,)), keep)
