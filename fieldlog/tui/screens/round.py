"""The round: one number after another, each on disk before the next, with what it says at once.

The whole walk of a round: what is done, what is not, and a jump to any of it.

Letters on an empty line are commands in the round, since no size begins with a letter; so a one-handed person needs
no modifier keys, and a caliper that types digits cannot set anything off.
"""

from collections.abc import Callable, Iterable

from textual.containers import Horizontal
from textual.widget import Widget
from textual.widgets import Static

from fieldlog.app.round_work import RoundWork
from fieldlog.errors import FieldlogError, QuantityError, StoreError
from fieldlog.pages.lines import Line, Span, cropped, fit, line, wrapped
from fieldlog.pages.round import prompt_line
from fieldlog.quantity.text import day_text
from fieldlog.records.entries import Sign
from fieldlog.records.machine import shown_name
from fieldlog.tui import commands
from fieldlog.tui.base import LogScreen
from fieldlog.tui.command import Command
from fieldlog.tui.form import Field, FormScreen
from fieldlog.tui.link_stop import entry_from, keys_at, panel_lines, pick_row, pick_thread, row_use
from fieldlog.tui.widgets.entry_line import EntryLine
from fieldlog.tui.widgets.lines import LineList
from fieldlog.wear.signs import MOVES, TIGHT
from fieldlog.words.speak import error_text

BUSH_QUESTION = "Does the bush move in its bore? t sits tight, m moves."
HELD = "Not kept yet, and each for its own line: Enter tries again, backspace takes away."
_MOST_FLAGS = 2  # more would push the numbers off a small screen; they come worst first


class RoundScreen(LogScreen):
    """Walks a machine; letters on the empty line are commands, so a caliper that types digits just works."""

    KEYS = commands.ROUND
    AUTO_FOCUS = "EntryLine"

    def __init__(self, work: RoundWork) -> None:
        super().__init__()
        self.work = work

    def body(self) -> Iterable[Widget]:
        """Where we are, what the readings say, what comes next, the line to type on."""
        yield Static(id="where", markup=False)
        yield Static(id="panel", markup=False)
        yield Static(id="prompt", markup=False)
        with Horizontal(id="typing"):
            yield Static(" > ", id="typing-mark", markup=False)
            yield EntryLine(commands=commands.ROUND_LETTERS, id="entry")

    @property
    def entry(self) -> EntryLine:
        """The line to type on."""
        return self.query_one(EntryLine)

    def title_parts(self) -> tuple[str, str]:
        """Machine and round; how far the walk is."""
        work = self.work
        machine = shown_name(self.session.machine(work.machine_id))
        done = sum(1 for stop in work.stops if work.is_done(stop))
        return f"{machine}, round of {day_text(work.head.date)}, {work.head.who}", f"{done} of {len(work.stops)} done"

    def footer_commands(self) -> tuple[Command, ...]:
        """At a link, also the keys that only a link has."""
        return keys_at(self.work.stop, self.KEYS)

    def redraw(self) -> None:
        """Everything between title and footer."""
        self._show_where()
        self._show_panel()
        self._show_prompt()

    def _show_where(self) -> None:
        stop, width = self.work.stop, self.text_width
        use = f", {stop.hole.kind} hole, used {stop.hole.use}" if stop.hole is not None else ""
        if stop.link is not None:
            use = row_use(self.work, stop.link)
        rows = wrapped(f"{stop.title}{use}", width, " ", "strong")
        question = wrapped(BUSH_QUESTION, width, " ") if self.work.asks_bush() else ()
        self.show_lines("#where", (*rows, *question))

    def _show_panel(self) -> None:
        room = max(self.size.height - 8, 6)
        lines = panel_lines(self.work, self.session.units, self.text_width, room)
        self.show_lines("#panel", cropped(lines, room, self.text_width))

    def _show_prompt(self) -> None:
        work = self.work
        slot = work.slot()
        prompt = prompt_line(slot, work.count_in(slot), work.unit, self.text_width, is_done=work.is_done_here())
        self.show_lines("#prompt", (prompt,))

    def on_input_submitted(self, event: EntryLine.Submitted) -> None:
        """Keep a number; on an empty line go on."""
        event.stop()
        text = event.value.strip()
        if not text:
            self._go_on()
            return
        try:
            if self.work.stop.kind == "link":
                self.work.keep_entry(entry_from(self.work, text))
            else:
                self.work.keep(self.work.accepted(text))
        except StoreError as error:
            self.entry.hold(text)
            self.say(f"{error_text(error)} {HELD}")
            return
        except QuantityError as error:
            self.entry.give_back(event.value)
            self.say(error_text(error))
            return
        self._after_reading()

    def _after_reading(self) -> None:
        self._show_panel()
        self._show_prompt()
        if self.work.is_done_here():
            self.show_title()
        sight = self.work.sight() if self.work.stop.kind == "hole" else None
        self.say(
            " ".join(f"! {flag.text[:1].upper()}{flag.text[1:]}." for flag in sight.flags[:_MOST_FLAGS])
            if sight
            else ""
        )

    def _go_on(self) -> None:
        """Go to the next stop that is not done; stay when all are."""
        work = self.work
        order = [(work.index + step) % len(work.stops) for step in range(1, len(work.stops) + 1)]
        waiting = [i for i in order if not work.readings_at_stop(i)] or [
            i for i in order if not work.is_done(work.stops[i])
        ]
        if waiting and waiting[0] != work.index:
            self._stand_at(waiting[0])
        else:
            self.say("The walk is done. Esc goes back; o shows the walk.", "sound")

    def _stand_at(self, index: int) -> None:
        if self.entry.is_holding:
            self.say(HELD)
            return
        self.work.go_to(index)
        self.say("")
        self.show_all()

    def on_entry_line_pressed(self, event: EntryLine.Pressed) -> None:
        """Do what a single letter on the empty line means."""
        action = {command.shown: command.action for command in self.KEYS}[event.key]
        self.call_later(self.run_action, action)

    def action_next_stop(self) -> None:
        """Go to the next stop, done or not."""
        self._stand_at(self.work.index + 1)

    def action_previous_stop(self) -> None:
        """Go to the stop before."""
        self._stand_at(self.work.index - 1)

    def action_pick(self, step: int) -> None:
        """Choose another line, face or way."""
        if self.entry.is_holding:
            self.say(HELD)
            return
        self.work.pick(step)
        self._show_prompt()

    def action_pick_thread(self) -> None:
        """Go to the thread that stands out, and on to the turns."""
        self._say_or_show(pick_thread(self.work))

    def action_next_hole(self) -> None:
        """Tape the link from the next hole of its row."""
        self._say_or_show(pick_row(self.work))

    def _say_or_show(self, refusal: str) -> None:
        self.say(refusal)
        if not refusal:
            self.redraw()

    def action_overview(self) -> None:
        """Show the whole walk."""
        self.app.push_screen(WalkScreen(self.work), self._jump)

    def _jump(self, index: object) -> None:
        if isinstance(index, int):
            self._stand_at(index)

    def action_note(self) -> None:
        """Write down wear seen here."""
        from fieldlog.tui.actions.evidence import note_form

        stop = self.work.stop
        kind = {"hole": "hole", "pin": "joint", "link": "link"}[stop.kind]
        self.app.push_screen(note_form(stop.title), lambda values: self._keep_note(kind, stop.id, values))

    def _keep_note(self, kind: str, subject: str, values: object) -> None:
        from fieldlog.tui.actions.evidence import note_from

        if isinstance(values, dict):
            self._write_or_say(lambda: self.work.write(note_from(values, kind, subject, self.work)), "Kept.")

    def _write_or_say(self, write: Callable[[], object], done: str) -> None:
        try:
            write()
        except FieldlogError as error:
            self.say(error_text(error))
        else:
            self.say(done, "sound")

    def action_evidence(self) -> None:
        """Show other evidence about this hole or pin, and take more of it."""
        from fieldlog.tui.screens.evidence import open_evidence

        stop, machine_id = self.work.stop, self.work.machine_id
        if stop.joint is None:
            self.say("Other evidence is about a joint: go to one of its holes or its pin.")
            return
        hole_id = stop.id if stop.kind == "hole" else ""
        open_evidence(self.desk, machine_id, hole_id=hole_id, joint_id=stop.joint.id, work=self.work)

    def on_screen_resume(self) -> None:
        """Draw again with what was written meanwhile."""
        self.work.refresh()
        super().on_screen_resume()

    def action_budget(self) -> None:
        """Open the numbers that the readings here give."""
        from fieldlog.tui.screens.opened import BudgetScreen, round_numbers

        if not round_numbers(self.work):
            self.say("No number here yet: type a reading first.")
            return
        numbers = BudgetScreen(self.work.machine_id, self.work.stop.title, lambda: round_numbers(self.work))
        self.app.push_screen(numbers, lambda _: self._after_reading())

    def action_bush_tight(self) -> None:
        """Write down that the bush sits tight."""
        self._say_bush(TIGHT)

    def action_bush_moves(self) -> None:
        """Write down that the bush moves in its bore."""
        self._say_bush(MOVES)

    def _say_bush(self, sign: Sign) -> None:
        if not self.work.is_bushed:
            self.say("There is no bush here.")
            return
        said = "The bush sits tight: kept." if sign == TIGHT else "The bush moves: kept. Stop using this joint."
        self._write_or_say(lambda: self.work.say_of_bush(sign), said)
        self._show_panel()
        self._show_where()

    def action_undo(self) -> None:
        """Strike the last reading here, with a reason."""
        readings = self.work.readings()
        if not readings:
            self.say("Nothing to strike here in this round.")
            return
        from fieldlog.pages.readings import entry_words

        title = f"Strike {entry_words(readings[-1])}"
        why = Field(
            "why", "Why", "mistyped", "It stays on file, struck, with this reason.", required=True, is_suggestion=True
        )
        self.app.push_screen(FormScreen(title, (why,)), self._strike)

    def _strike(self, values: object) -> None:
        if isinstance(values, dict):
            self._write_or_say(lambda: self.work.strike_last(values["why"]), "Struck; it stays on file.")
            self.redraw()

    def action_back(self) -> None:
        """Leave the round; it goes on where it stands."""
        self.dismiss(None)


class WalkScreen(LogScreen):
    """Dismisses with the index of the stop chosen."""

    KEYS = commands.LISTS

    def __init__(self, work: RoundWork) -> None:
        super().__init__()
        self.work = work

    def title_parts(self) -> tuple[str, str]:
        """The machine."""
        return f"The walk over {shown_name(self.session.machine(self.work.machine_id))}", ""

    def body(self) -> Iterable[Widget]:
        """The list of stops."""
        yield LineList(id="list")

    def redraw(self) -> None:
        """One line a stop."""
        lines = tuple(self._line(index) for index in range(len(self.work.stops)))
        self.query_one(LineList).show(lines, self.work.index)

    def _line(self, index: int) -> Line:
        stop = self.work.stops[index]
        count = len(self.work.readings_at_stop(index))
        done = self.work.is_done(stop)
        state = "done" if done else f"{count} of {len(stop.plan)}" if count else "-"
        mark = "sound" if done else "" if count else "dim"
        return line(Span(state.ljust(9), mark), fit(stop.title, self.text_width - 12), target=index)

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Go there."""
        self.dismiss(event.target)
