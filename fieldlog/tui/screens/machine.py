"""One machine: its joints with their verdicts, the holes under them, the links."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from textual.widget import Widget
from textual.widgets import Static

from fieldlog.app.beside import kept_of_machine
from fieldlog.pages.lines import Line, cropped, hours_text
from fieldlog.pages.machine import (
    HoleRow,
    JointRow,
    LimitRow,
    LinkRow,
    MachineRow,
    hole_detail,
    joint_detail,
    link_detail,
    machine_lines,
    machine_summary,
    own_detail,
    own_lines,
)
from fieldlog.quantity.text import day_text
from fieldlog.records.machine import shown_name
from fieldlog.tui import commands
from fieldlog.tui.base import LogScreen
from fieldlog.tui.widgets.lines import LineList
from fieldlog.wear.states import MachineState
from fieldlog.words.speak import say_all

if TYPE_CHECKING:
    from fieldlog.retrofit.offers.kept import Kept


class MachineScreen(LogScreen):
    """A machine's page; `part`, a joint or a link, is chosen at first when given."""

    KEYS = commands.MACHINE

    def __init__(self, machine_id: str, part: str = "", *, is_link: bool = False) -> None:
        super().__init__()
        self.machine_id = machine_id
        self._drawn_state: MachineState | None = None
        self._wanted: object = (LinkRow(part) if is_link else JointRow(part)) if part else None
        self._kept: dict[str, Kept] = {}

    def body(self) -> Iterable[Widget]:
        """The list and what is known about the chosen line."""
        yield LineList(id="list")
        yield Static(id="detail", markup=False)

    @property
    def list(self) -> LineList:
        """The list."""
        return self.query_one(LineList)

    @property
    def state(self) -> MachineState:
        """What is known about the machine, as drawn: its files are looked at once for a drawing, not for every key."""
        if self._drawn_state is None:
            self._drawn_state = self.session.state(self.machine_id)
        return self._drawn_state

    def show_all(self) -> None:
        """Look at the files, then draw."""
        self._drawn_state = None
        super().show_all()

    def title_parts(self) -> tuple[str, str]:
        """Name and kind; hours and last day at the right."""
        state = self.state
        summary = machine_summary(state.machine)
        day = day_text(state.last_day) if state.last_day is not None else "never measured"
        right = ", ".join(part for part in (hours_text(state.meter_hours), day) if part)
        return f"{shown_name(state.machine)}{', ' if summary else ''}{summary}", right

    def redraw(self) -> None:
        """List, detail, remarks."""
        state = self.state
        self._kept = {item.recommendation.id: item for item in kept_of_machine(self.session, self.machine_id)}
        lines = machine_lines(state, self.session.units, self.text_width - 2, ascii_only=self.desk.ascii_only)
        own = own_lines(state.machine, self.text_width - 2)
        self.list.show((*lines, *self._kept_lines(), *own), self._wanted)
        self._wanted = None
        self._show_detail(self.list.target)
        self.say(say_all(state.remarks, self.session.units))

    def _kept_lines(self) -> tuple[Line, ...]:
        if not self._kept:
            return ()
        from fieldlog.pages.machine import kept_lines

        return kept_lines(tuple(self._kept.values()), self.state.machine, self.text_width - 1)

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Show what is known about another line."""
        self._show_detail(event.target)

    def _show_detail(self, target: object) -> None:
        lines: tuple[Line, ...] = ()
        width, units, state = self.text_width, self.session.units, self.state
        rows = max(self.size.height // 3, 3)
        if isinstance(target, JointRow):
            lines = joint_detail(next(j for j in state.joints if j.joint.id == target.joint), units, width, rows)
        elif isinstance(target, HoleRow):
            holes = (hole for joint in state.joints for hole in joint.holes)
            lines = hole_detail(next(hole for hole in holes if hole.hole.id == target.hole), units, width)
        elif isinstance(target, LinkRow):
            lines = link_detail(next(link for link in state.links if link.link.id == target.link), units, width)
        elif isinstance(target, MachineRow | LimitRow):
            lines = own_detail(state.machine, width, is_limit=isinstance(target, LimitRow))
        elif target is not None:
            from fieldlog.pages.machine import KeptRow, kept_detail

            lines = (
                kept_detail(self._kept[target.kept], self.session.units, width) if isinstance(target, KeptRow) else ()
            )
        self.show_lines("#detail", cropped(lines, rows, width))

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Open a hole, a joint's full finding, or a link."""
        target = event.target
        if isinstance(target, HoleRow):
            from fieldlog.tui.screens.hole import HoleScreen

            self.app.push_screen(HoleScreen(self.machine_id, target.hole))
        elif isinstance(target, JointRow):
            from fieldlog.tui.screens.finding import FindingScreen

            self.app.push_screen(FindingScreen(self.machine_id, target.joint))
        elif isinstance(target, LinkRow):
            from fieldlog.tui.screens.link import LinkScreen

            self.app.push_screen(LinkScreen(self.machine_id, target.link))
        elif isinstance(target, MachineRow | LimitRow):
            self.action_correct()
        else:
            from fieldlog.tui.screens.offer import open_kept

            open_kept(self, self.machine_id, target)

    def action_offers(self) -> None:
        """Show the cylinders on offer for the chosen link, else for the first that a cylinder can replace."""
        from fieldlog.tui.screens.offer import open_offers

        target = self.list.target
        open_offers(self, self.machine_id, target.link if isinstance(target, LinkRow) else "")

    def action_measure(self) -> None:
        """Start or go on with a round."""
        from fieldlog.tui.screens.rounds import start_round

        start_round(self.desk, self.machine_id, self._chosen_stop())

    def _chosen_stop(self) -> tuple[str, str] | None:
        target = self.list.target
        if isinstance(target, HoleRow):
            return "hole", target.hole
        if isinstance(target, LinkRow):
            return "link", target.link
        return None

    def action_add(self) -> None:
        """Add a joint, hole, link or limit."""
        from fieldlog.tui.actions.parts import add_to_machine

        target = self.list.target
        add_to_machine(self.desk, self.machine_id, target.joint if isinstance(target, JointRow) else "")

    def action_correct(self) -> None:
        """Correct what is chosen."""
        from fieldlog.tui.actions.parts import correct, correct_limit

        target = self.list.target
        if isinstance(target, JointRow):
            correct(self.desk, self.machine_id, "joints", target.joint)
        elif isinstance(target, HoleRow):
            correct(self.desk, self.machine_id, "holes", target.hole)
        elif isinstance(target, LinkRow):
            correct(self.desk, self.machine_id, "links", target.link)
        elif isinstance(target, LimitRow):
            correct_limit(self.desk, self.machine_id, target.number)
        else:
            correct(self.desk, self.machine_id, "", "")

    def action_hitch(self) -> None:
        """Look at the hitch from the side."""
        from fieldlog.tui.screens.hitch import HitchScreen

        self.app.push_screen(HitchScreen(self.machine_id))

    def action_season(self) -> None:
        """The season of this machine."""
        from fieldlog.tui.screens.rates import SeasonScreen

        self.app.push_screen(SeasonScreen(self.machine_id))

    def action_deed(self) -> None:
        """Write down work done."""
        from fieldlog.tui.actions.evidence import record_deed

        record_deed(self.desk, self.machine_id, self._subject())

    def action_evidence(self) -> None:
        """Show other evidence about the chosen joint or hole, and take more of it."""
        from fieldlog.tui.screens.evidence import open_evidence

        target = self.list.target
        if isinstance(target, HoleRow):
            open_evidence(self.desk, self.machine_id, hole_id=target.hole)
        elif isinstance(target, JointRow):
            open_evidence(self.desk, self.machine_id, joint_id=target.joint)
        else:
            self.say("Other evidence is about a joint or a hole: choose one first.")

    def action_note(self) -> None:
        """Write down wear seen."""
        from fieldlog.tui.actions.evidence import record_note

        record_note(self.desk, self.machine_id, self._subject())

    def action_budget(self) -> None:
        """Open the numbers of what is chosen."""
        from fieldlog.tui.screens.opened import open_budget

        open_budget(self.desk, self.machine_id, self._subject())

    def _subject(self) -> tuple[str, str]:
        target = self.list.target
        if isinstance(target, JointRow):
            return "joint", target.joint
        if isinstance(target, HoleRow):
            return "hole", target.hole
        if isinstance(target, LinkRow):
            return "link", target.link
        return "", ""
