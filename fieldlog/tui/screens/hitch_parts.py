"""What is measured on a tractor's hitch and on the fleet's implements, line by line, to add to and correct."""

from collections.abc import Iterable
from typing import NamedTuple

from textual.widget import Widget

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
from fieldlog.report.lines import BLANK, Line, Span, fit, heading, line, short
from fieldlog.tui import commands
from fieldlog.tui.actions import hitch_forms
from fieldlog.tui.actions.hitch import add_hitch_part, correct_hitch, correct_part
from fieldlog.tui.actions.hitch_forms import Row
from fieldlog.tui.screens.base import LogScreen
from fieldlog.tui.widgets.line_list import LineList

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
        self.say(problems[0].sentence() if problems else "")

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
        target, app = event.target, self.logbook_app
        if isinstance(target, GroupRow):
            correct_hitch(app, self.machine_id, self.parts.hitch, target.rows, target.title)
        elif isinstance(target, PartRow):
            correct_part(app, self.machine_id, target.part, target.rows)

    def action_add(self) -> None:
        """Add a hole, an implement or a corner."""
        add_hitch_part(self.logbook_app, self.machine_id, self.parts, self.implements)


def _row(name: str, text: str, target: object, width: int) -> Line:
    name_width = min(_NAME_WIDTH, width // 2)
    return line(f" {fit(name, name_width)} ", Span(short(text, width - name_width - 4), "dim"), target=target)
