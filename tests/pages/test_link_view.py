"""The link's page: whatever was measured, it can be drawn, nothing is cut off, and its data can be written."""

import json
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.measure.walk import ThreadSlot
from fieldlog.pages.lines import cells
from fieldlog.pages.link import link_lines
from fieldlog.pages.machine import link_detail, machine_lines
from fieldlog.pages.round import link_panel, prompt_line
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.entries import LinkState
from fieldlog.records.machine import Hand, Link, OpenStop
from fieldlog.sheets.other_data import link_data
from fieldlog.sheets.trend_data import plain, size_data
from fieldlog.standards.threads import parse_thread
from tests.wear.test_links import TOP, Bench

HANDS: tuple[Hand | None, ...] = (None, "right", "left", "none")
STOPS: tuple[OpenStop | None, ...] = (None, "groove", "stop pin", "thread")
STATES: tuple[LinkState, ...] = ("closed", "open", "as set")
LENGTHS = st.none() | st.integers(1, 900).map(lambda mm: parse_length(f"{mm} mm"))
LINKS = st.builds(
    replace,
    st.sampled_from([TOP, replace(TOP, position="lift rod"), replace(TOP, kind="fixed"), replace(TOP, far_hole="")]),
    thread=st.sampled_from([None, "M24x3", "3/4-10", "Tr 40x14 P7", "M8"]).map(
        lambda t: parse_thread(t) if t else None
    ),
    near_hand=st.sampled_from(HANDS),
    far_hand=st.sampled_from(HANDS),
    near_thread=LENGTHS,
    far_thread=LENGTHS,
    body=LENGTHS,
    open_stop=st.sampled_from(STOPS),
    stop_length=LENGTHS,
)
TAPED = st.dictionaries(st.sampled_from(STATES), st.integers(50, 1500))
OUT = st.dictionaries(st.sampled_from(STATES), st.tuples(st.integers(0, 400), st.integers(0, 400)))


@settings(max_examples=80, derandomize=True, deadline=None)
@given(
    LINKS, TAPED, OUT, st.sampled_from(["", "12.5", "400"]), st.sampled_from([60, 80]), st.sampled_from(["mm", "in"])
)
def test_any_link_can_be_drawn(
    link: Link, taped: dict[LinkState, int], out: dict[LinkState, tuple[int, int]], turns: str, width: int, units: str
) -> None:
    """Impossible threads, mixed up lengths, missing holes: lines within the width, and JSON."""
    bench = Bench(link, units)  # type: ignore[arg-type] # one of the two
    for state, mm in taped.items():
        bench.tape(state, mm)
    for state, (near, far) in out.items():
        bench.out(state, f"{near} mm", f"{far} mm")
    if turns:
        bench.turned(turns)
    machine = bench.state
    report = machine.links[0]
    for ascii_only in (True, False):
        page = link_lines(report, machine, bench.units, width, ascii_only=ascii_only)
        assert all(cells(row.text) <= width for row in page), [row.text for row in page if cells(row.text) > width]
    panel = link_panel(bench.entries, report, bench.units, width)
    detail = link_detail(report, bench.units, width)
    for row in (*panel, *detail, *machine_lines(machine, bench.units, width)):
        assert cells(row.text) <= width
    assert json.loads(json.dumps(plain(link_data(report, size_data, bench.units)), allow_nan=False))["id"] == "top"


def test_bars_and_ruler_stand_where_they_should() -> None:
    """20 of 150 mm in when open, 110 when closed: the solid part is shorter than 1.0 d, the marks are in order."""
    bench = Bench().tape("closed", 560).tape("open", 740).out("closed", "40", "40").out("open", "130", "130")
    machine = bench.state
    rows = [row.text for row in link_lines(machine.links[0], machine, "mm", 78, ascii_only=True)]
    bar = next(row for row in rows if row.startswith("tractor end") and "#" in row)
    scale = rows[rows.index(bar) - 1]
    assert bar.rindex("#") < scale.index("f") < scale.index("t")
    assert bar.count("#") / (bar.count("#") + bar.count("-") + bar.count(".")) < 20 / 110
    letters = rows[next(i for i, row in enumerate(rows) if row.startswith("-----")) - 1]
    assert letters.index("C") < letters.index("t") < letters.index("f") < letters.index("O")
    legend = " ".join(rows)
    assert "t at 1.5 d 708 mm" in legend
    assert "f at 1.0 d 732 mm" in legend


def test_what_was_typed_last_is_always_in_sight() -> None:
    """However much is said about a link, its last reading stands on a small screen, a repeat of the first one too."""
    bench = Bench().tape("closed", 560).tape("open", 740).out("closed", "40", "40").out("open", "130", "131.5")
    panel = link_panel(bench.entries, bench.state.links[0], "mm", 58, 8)
    assert len(panel) == 8
    assert "131.5" in panel[-1].text
    bench.tape("closed", 561)
    assert "541" in link_panel(bench.entries, bench.state.links[0], "mm", 58, 8)[-1].text


def test_a_prompt_ends_with_its_unit_however_narrow_the_window() -> None:
    """Unit and number of the reading are never cut; long words before them are."""
    slot = ThreadSlot("open", "near")
    assert prompt_line(slot, 0, "mm", 78).text.endswith("(mm unless a unit is typed)")
    for width in (40, 58):
        text = prompt_line(slot, 1, "mm", width).text
        assert text.endswith(", reading 2   (mm)")
        assert cells(text) <= width
