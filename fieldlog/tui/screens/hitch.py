"""The hitch from the side, moving as its holes, links and heights are tried; nothing is stored unless asked.

All the numbers of the hitch as it is tried, to walk down.

What is measured on a tractor's hitch and on the fleet's implements, line by line, to add to and correct.
"""

from collections.abc import Iterable
from typing import NamedTuple

from textual.widget import Widget

from fieldlog.errors import QuantityError
from fieldlog.pages.hitch import knob_value, page_lines
from fieldlog.pages.hitch_numbers import number_lines
from fieldlog.pages.hitch_tried import HitchWork
from fieldlog.pages.lines import BLANK, Line, Span, fit, heading, line, short, wrapped
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.rounding import mm_text
from fieldlog.records.hitch import (
    Hitch,
    HitchParts,
    Implement,
    ImplementPoint,
    Implements,
    MastHole,
    RodHole,
    TopLinkHole,
)
from fieldlog.records.machine import shown_name
from fieldlog.tui import commands
from fieldlog.tui.actions import hitch_forms
from fieldlog.tui.actions.hitch import add_hitch_part, correct_hitch, correct_part
from fieldlog.tui.actions.hitch_forms import Row
from fieldlog.tui.base import LogScreen
from fieldlog.tui.form import Field, FormScreen
from fieldlog.tui.widgets.lines import LineList, Pane
from fieldlog.words.hitch import KNOBS
from fieldlog.words.speak import problem_text

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
        pane.show(page_lines(page, self.session.units, width, height, ascii_only=self.desk.ascii_only))

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
        if self.work.page() is not None:
            self.app.push_screen(HitchNumbersScreen(self.work, self.title_parts()[0]))

    def action_budget(self) -> None:
        """Open the numbers for what is tried to what they rest on."""
        from fieldlog.tui.screens.opened import open_hitch

        open_hitch(self.desk, self.work, self.title_parts()[0])

    def action_keep(self) -> None:
        """Write down the holes tried as those in use."""
        from fieldlog.tui.actions.hitch import keep_holes

        keep_holes(self.desk, self.work)

    def action_correct(self) -> None:
        """Show what is measured, to add to it and to correct it."""

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
        self.app.push_screen(FormScreen(f"Try another {KNOBS[work.knob]}", (field,)), keep)


class HitchNumbersScreen(LogScreen):
    """A page of numbers."""

    KEYS = commands.HITCH_NUMBERS

    def __init__(self, work: HitchWork, title: str) -> None:
        super().__init__()
        self._work, self._title = work, title

    def body(self) -> Iterable[Widget]:
        """The list of lines."""
        yield LineList(id="list")

    def title_parts(self) -> tuple[str, str]:
        """The hitch and what this is."""
        return self._title, "all numbers"

    def redraw(self) -> None:
        """Show the lines."""
        page, units = self._work.fresh_page(), self.session.units
        if page is None:
            return
        lines = number_lines(page.look, page.field, page.need, units, self.text_width - 2)
        self.query_one(LineList).show(lines)

    def action_budget(self) -> None:
        """Open the numbers to what they rest on."""
        from fieldlog.tui.screens.opened import open_hitch

        open_hitch(self.desk, self._work, self._title)


Part = TopLinkHole | RodHole | Implement | MastHole | ImplementPoint
_NAME_WIDTH = 28
_GROUPS = (("Pivots, links and lift", hitch_forms.LIFT_ROWS), ("Tyre, cab and PTO", hitch_forms.AROUND_ROWS))


class GroupRow(NamedTuple):
    """A group of the tractor's own sizes."""

    title: str
    rows: tuple[Row, ...]


class PartRow(NamedTuple):
    """A hole, an implement (one of its two forms), or a corner."""

    part: Part
    rows: tuple[Row, ...]


class HitchPartsScreen(LogScreen):
    """Enter corrects the chosen line, a adds one."""

    KEYS = commands.HITCH_PARTS

    def __init__(self, machine_id: str) -> None:
        super().__init__()
        self.machine_id = machine_id
        self.parts, self.implements = HitchParts(), Implements()

    def body(self) -> Iterable[Widget]:
        """The list."""
        yield LineList(id="list")

    def title_parts(self) -> tuple[str, str]:
        """Whose hitch it is."""
        return f"{shown_name(self.session.machine(self.machine_id))}, hitch: what is measured", ""

    def redraw(self) -> None:
        """Read again and show the lines."""
        from fieldlog.store.hitch_reader import read_hitch_file, read_implements_file

        hitch, implements = (
            read_hitch_file(self.session.folder, self.machine_id),
            read_implements_file(self.session.folder),
        )
        self.parts, self.implements = hitch.parts, implements.implements
        self.query_one(LineList).show(self._lines(self.text_width - 1))
        problems = (*hitch.problems, *implements.problems)
        self.say(problem_text(problems[0]) if problems else "")

    def _lines(self, width: int) -> tuple[Line, ...]:
        hitch = self.parts.hitch or Hitch()
        rows = [heading("On this tractor")]
        for title, group in (
            ("Pivots, links and lift", hitch_forms.LIFT_ROWS),
            ("Tyre, cab and PTO", hitch_forms.AROUND_ROWS),
        ):
            sizes = [row.key for row in group if row.key != "notes"]
            count = sum(getattr(hitch, key) is not None for key in sizes)
            text = f"{count} of {len(sizes)} measured"
            rows.append(_row(title, text, GroupRow(title, group), width))
        for top in self.parts.top_holes:
            text = f"{top.behind.typed}, {top.up.typed} up"
            rows.append(_row(f"Top link, {top.name or top.id}", text, PartRow(top, hitch_forms.TOP_HOLE_ROWS), width))
        for rod in self.parts.rod_holes:
            text = f"{rod.from_pivot.typed} from the front pin"
            rows.append(_row(f"Lift rod, {rod.name or rod.id}", text, PartRow(rod, hitch_forms.ROD_HOLE_ROWS), width))
        for item in self.implements.implements:
            rows += [BLANK, heading(item.name or item.id), *self._implement_rows(item, width)]
        if not self.implements.implements:
            rows += [BLANK, line(Span("No implement yet; a adds the first.", "dim"))]
        return tuple(rows)

    def _implement_rows(self, item: Implement, width: int) -> Iterable[Line]:
        weight = item.weight.typed if item.weight is not None else "not weighed"
        yield _row("Weight and balance", weight, PartRow(item, hitch_forms.IMPLEMENT_ROWS), width)
        heights = dict.fromkeys(h.typed for h in (item.work_lowest, item.work_highest) if h is not None)
        work = f"balls {' to '.join(heights)}" if heights else "not written"
        yield _row("Work, pitch, roll, PTO", work, PartRow(item, hitch_forms.WORK_ROWS), width)
        for mast in self.implements.masts_of(item.id):
            text = f"{mast.height.typed} over the lower pins"
            yield _row(f"Mast, {mast.name or mast.id}", text, PartRow(mast, hitch_forms.MAST_ROWS), width)
        for point in self.implements.points_of(item.id):
            track = ", by the tyre" if point.in_track == "yes" else ""
            text = f"{point.behind.typed}, {point.above.typed}{track}"
            yield _row(f"Corner, {point.name or point.id}", text, PartRow(point, hitch_forms.POINT_ROWS), width)

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Correct the chosen line."""
        target, app = event.target, self.desk
        if isinstance(target, GroupRow):
            correct_hitch(app, self.machine_id, self.parts.hitch, target.rows, target.title)
        elif isinstance(target, PartRow):
            correct_part(app, self.machine_id, target.part, target.rows)

    def action_add(self) -> None:
        """Add a hole, an implement or a corner."""
        add_hitch_part(self.desk, self.machine_id, self.parts, self.implements)


def _row(name: str, text: str, target: object, width: int) -> Line:
    name_width = min(_NAME_WIDTH, width // 2)
    return line(f" {fit(name, name_width)} ", Span(short(text, width - name_width - 4), "dim"), target=target)
