"""The fleet: what needs doing first, then the machines."""

import asyncio
from collections.abc import Iterable

from textual import work
from textual.timer import Timer
from textual.widget import Widget
from textual.widgets import Static

from fieldlog.app.beside import BesideCount
from fieldlog.app.overview import MachineBack
from fieldlog.pages.fleet import (
    FleetLines,
    JointTarget,
    MachineTarget,
    Standing,
    due_detail,
    machine_detail,
    reading_text,
)
from fieldlog.pages.lines import Line, count_text, cropped
from fieldlog.quantity.text import day_text
from fieldlog.tui import commands
from fieldlog.tui.base import LogScreen
from fieldlog.tui.widgets.lines import LineList

_LISTEN_EVERY_S = 1.0
_COUNT_AFTER_S = 1.0  # what lies beside the rounds is read when the page has been drawn and nobody is in a hurry


class FleetScreen(LogScreen):
    """The first screen of an open logbook."""

    KEYS = commands.FLEET
    _listening: Timer | None = None
    _counting: Timer | None = None

    def __init__(self) -> None:
        super().__init__()
        self._beside = BesideCount()

    def body(self) -> Iterable[Widget]:
        """The list and what is known about the chosen line."""
        yield LineList(id="list")
        yield Static(id="detail", markup=False)

    @property
    def list(self) -> LineList:
        """The list."""
        return self.query_one(LineList)

    def title_parts(self) -> tuple[str, str]:
        """Logbook and date."""
        where = "sample, a throwaway copy" if self.session.is_demo else day_text(self.session.today())
        return self.session.head.name, where

    def show_all(self) -> None:
        """Draw what is known, then look for edits from outside; what is still being read comes in later."""
        is_first = not self._is_drawn
        if not is_first:
            self.session.notice_edits()
        self._draw()
        if not is_first and not self.session.known.is_reading:
            self._look_for_edits()
        if self._counting is not None:
            self._counting.stop()
        self._counting = self.set_timer(_COUNT_AFTER_S, self._count_beside)

    def _count_beside(self) -> None:
        """Count the problems that the page does not rest on."""
        self._beside.renew(self.session.folder, self.session.head.machine_ids, self._say_when_in_front)

    def _say_when_in_front(self) -> None:
        if self.is_current:
            self._say_what_is_odd()

    def on_screen_suspend(self) -> None:
        """Keep still behind another page: whatever happens here has that one drawn again."""
        for timer in (self._counting, self._listening):
            if timer is not None:
                timer.stop()
        self._counting = self._listening = None

    def on_unmount(self) -> None:
        """Leave no process behind."""
        self._beside.stop()

    def _draw(self) -> None:
        self.session.known.fill()
        super().show_all()
        if self.session.known.is_reading:
            self._listen()

    def _listen(self) -> None:
        if self._listening is None:
            self._listening = self.set_interval(_LISTEN_EVERY_S, self._take_more)

    def _take_more(self) -> None:
        """Show what has come meanwhile, if this is the screen in front."""
        known = self.session.known
        came = known.take()
        if not known.is_reading and self._listening is not None:
            self._listening.stop()
            self._listening = None
            came = True
        if came and self.is_current:
            self.show_all()

    @work(exclusive=True)
    async def _look_for_edits(self) -> None:
        """Look at one machine's files after the other, letting keys in between; draw again if any was edited."""
        was_edited = False
        for found in self.session.known.all():
            was_edited |= self.session.known.notice(found.front.id)
            await asyncio.sleep(0)
        if was_edited and self.is_current:
            self._draw()

    def redraw(self) -> None:
        """List, detail, and a word about what is not known yet and about problems in the files."""
        known = self.session.known
        self._shown = {found.front.id: found for found in known.all()}
        fronts = (found.front for found in self._shown.values())
        standing = [Standing(front.id, front.severity, front.places) for front in fronts]
        borrowed, width = known.borrowings().items, self.text_width - 1
        self._lines = FleetLines(standing, borrowed, known.waiting(), self._back_of, width)
        self.list.show(self._lines)
        self._show_detail(self.list.target)
        self._say_what_is_odd()

    def _back_of(self, machine_id: str) -> MachineBack:
        return self.session.known.back_of(self._shown[machine_id])

    def _say_what_is_odd(self) -> None:
        known = self.session.known
        still_reading = reading_text(len(known.waiting()), known.outdated())
        n_problems = known.n_problems() + self._beside.count
        if still_reading:
            self.say(still_reading, "dim")
        elif n_problems:
            self.say(f"{count_text(n_problems, 'problem')} in the files; ! lists them. All that can be read is shown.")
        elif self.session.head.is_read_only:
            self.say("This logbook was made by a newer program; it is shown, and nothing is written to it.")
        else:
            self.say("")

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Show what is known about another line."""
        self._show_detail(event.target)

    def _show_detail(self, target: object) -> None:
        lines: tuple[Line, ...] = ()
        rows = max(self.size.height // 4, 2)
        if isinstance(target, JointTarget):
            item = self._lines.due_item(target)
            lines = due_detail(item, self.text_width, rows) if item is not None else ()
        elif isinstance(target, MachineTarget) and target.machine in self._shown:
            lines = machine_detail(self._back_of(target.machine).summary, self.text_width)
        self.show_lines("#detail", cropped(lines, rows, self.text_width))

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Open a machine, at the joint that is due."""
        from fieldlog.tui.screens.machine import MachineScreen

        target = event.target
        if isinstance(target, JointTarget):
            self.app.push_screen(MachineScreen(target.machine, target.joint, is_link=target.is_link))
        elif isinstance(target, MachineTarget):
            self.app.push_screen(MachineScreen(target.machine))

    def action_measure(self) -> None:
        """Start or go on with a round on the chosen machine."""
        from fieldlog.tui.screens.rounds import start_round

        target = self.list.target
        if isinstance(target, JointTarget | MachineTarget):
            start_round(self.desk, target.machine)
        else:
            self.say("Choose a machine first; n adds one.")

    def action_budget(self) -> None:
        """Open the numbers of the chosen joint or link."""
        from fieldlog.tui.screens.opened import open_budget

        target = self.list.target
        if isinstance(target, JointTarget):
            kind = "link" if target.is_link else "joint"
            open_budget(self.desk, target.machine, (kind, target.joint))
        else:
            self.say("Choose a joint or a link that is due first; a machine's own page opens the others.")

    def action_new_machine(self) -> None:
        """Add a machine, then its first joint and hole, and start measuring."""
        from fieldlog.tui.actions.parts import add_machine

        add_machine(self.desk, self._add_first_joint)

    def _add_first_joint(self, machine_id: str) -> None:
        from fieldlog.tui.actions.parts import add_joint
        from fieldlog.tui.screens.machine import MachineScreen
        from fieldlog.tui.screens.rounds import start_round

        self.app.push_screen(MachineScreen(machine_id))
        add_joint(self.desk, machine_id, lambda: start_round(self.desk, machine_id))

    def action_correct(self) -> None:
        """Correct what is written about the chosen machine itself."""
        from fieldlog.tui.actions.parts import correct

        target = self.list.target
        if isinstance(target, JointTarget | MachineTarget):
            correct(self.desk, target.machine, "", "")
        else:
            self.say("Choose a machine first; n adds one.")

    def action_rates(self) -> None:
        """Rates of wear side by side."""
        from fieldlog.tui.screens.rates import RatesScreen

        self.app.push_screen(RatesScreen())

    def action_season(self) -> None:
        """The season over the whole fleet."""
        from fieldlog.tui.screens.rates import SeasonScreen

        self.app.push_screen(SeasonScreen())

    def action_setup(self) -> None:
        """People, instruments, limits of the fleet."""
        from fieldlog.tui.screens.setup import SetupScreen

        self.app.push_screen(SetupScreen())

    def action_back(self) -> None:
        """Escape does not leave from here; q does."""
        self.say("q leaves the program.", "dim")
