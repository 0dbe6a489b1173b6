"""Every page of the program, and the keys that lead there from the page that it is opened from.

A page is known by words that stand on it and on no page on the way; they are names of the sample where possible, so
that a page can be worded anew without a change here. What is chosen in a list is looked for by its words too.
"""

import re
import shutil
from collections.abc import Callable, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

from fieldlog.store.files import sample_folder

# with a key behind it that nothing is bound to, so that the program need not wait for what may follow
ESCAPE = "\x1b\0"
ENTER, TAB, LEFT, RIGHT, KEEP = "\r", "\t", "\x1b[D", "\x1b[C", "\x13"
HELP_WHILE_TYPING = "\x1bOP"


_UNFINISHED = re.compile(r"still\s+to\s+be\s+read|on\s+an\s+earlier\s+day")  # what the fleet says meanwhile
_LEAST_ROWS = 4  # title, rule, one row, footer


class Row(NamedTuple):
    """A line of a list to be chosen: words that stand in it, as a regular expression."""

    words: str


class Page(NamedTuple):
    """A page: its name, the page before it, the keys from there, how it is known, and what it has.

    From a page without keys that lead back, the run goes on to the pages behind it and ends.
    """

    name: str
    before: str
    steps: tuple[str | Row, ...]
    sees: str
    has_numbers: bool = False
    back: str = ESCAPE

    @property
    def is_way(self) -> bool:
        """Whether it is only passed through, since another tour shows it."""
        return " for " in self.name

    def is_on(self, text: str) -> bool:
        """Tell whether a screen shows it."""
        is_filled = (
            sum(bool(row) for row in text.split("\n")) >= _LEAST_ROWS
        )  # a page may be worked out behind its title
        return is_filled and not _UNFINISHED.search(text) and re.search(self.sees, text, re.MULTILINE) is not None


class Tour(NamedTuple):
    """One run of the program: what is laid into its home folder and how it is started, and the pages to see."""

    name: str
    prepare: Callable[[Path], Sequence[str]]
    pages: tuple[Page, ...]


def _sample(home: Path) -> Sequence[str]:
    return ("demo",)


def _no_logbook(home: Path) -> Sequence[str]:
    return ()


_FAULTS = MappingProxyType(
    {
        "hill-tractor/machine.toml": ('pin = "40 mm"', 'pin = "-40 mm"'),
        "mini-digger/machine.toml": ('kind = "', 'knid = "'),
        "offers/d-203-long.toml": ('stroke = "', 'stroke = "about '),
    }
)


def _with_faults(home: Path) -> Sequence[str]:
    """The sample with three slips of the pen in its files."""
    folder = home / "fleet"
    shutil.copytree(sample_folder(), folder)
    for name, (right, wrong) in _FAULTS.items():
        text = (folder / name).read_text(encoding="utf-8")
        assert right in text, f"{name} has no {right} any more"
        (folder / name).write_text(text.replace(right, wrong, 1), encoding="utf-8")
    return "open", str(folder)


_AXLE, _ROD = Row("Hill tractor +Fron"), Row("Left lift rod, low")
_BOOK = r"^ Drains and.*sample"

_FLEET_PAGES = (
    Page("fleet", "", (), rf"{_BOOK}(?s:.)*Small loader", has_numbers=True),
    Page("help", "fleet", ("?",), "^ Keys of this"),
    Page("problems-none", "fleet", ("!",), "^ Problems"),
    Page("rates", "fleet", ("r",), "^ Rates", has_numbers=True),
    Page("season", "fleet", ("y",), "^ Season", has_numbers=True),
    Page("setup", "fleet", ("s",), "^ +5 m tape|^. 5 m tape"),
    Page("instrument", "setup", (Row("blue digital"), ENTER), "^ [Bb]lue dig", has_numbers=True),
    Page("form-check", "instrument", ("k",), "ctrl.s keep"),
    Page("study", "setup", (Row("14 Mar 2026"), ENTER), "^ Gauge study", has_numbers=True),
    Page("form-study", "setup", ("g",), "ctrl.s keep"),
    Page("form-machine", "fleet", ("n",), "ctrl.s keep"),
)
_MACHINE_PAGES = (
    Page("fleet for the machine", "", (), rf"{_BOOK}(?s:.)*Small loader"),
    Page("machine", "fleet for the machine", (_AXLE, ENTER), "^ Hill trac", has_numbers=True),
    Page("season-of-machine", "machine", ("y",), "^ Season", has_numbers=True),
    Page("evidence", "machine", (_ROD, "e"), "^ Other evid", has_numbers=True),
    Page("form-deed", "machine", (_ROD, "d"), "ctrl.s keep"),
    Page("form-note", "machine", (_ROD, "w"), "ctrl.s keep"),
    Page("form-joint", "machine", (_ROD, "c"), "ctrl.s keep"),
    Page("form-add", "machine", ("a",), "ctrl.s keep"),
    Page("joint", "machine", (Row("Top link, imp"), ENTER), "^ Top link, imp", has_numbers=True),
    Page("wear", "joint", ("p",), "^ Top link, implement end, cl|1 of [23]$", has_numbers=True),
    Page("doubt", "joint", ("b",), "^ Behind the"),
    Page("form-levers", "joint", ("l",), "ctrl.s keep"),
    Page("entries", "joint", ("r",), "^ (Entries|Readings)", has_numbers=True),
    Page("hole", "machine", (_ROD, Row("middle hole"), ENTER), "^ Left lift rod|^ middle hole", has_numbers=True),
    Page("readings", "hole", (Row("^. +3 Nov 2026"), ENTER), "^ (Entries|Readings)", has_numbers=True),
    Page("repair", "hole", ("f",), "^ Repair|^ What can", has_numbers=True),
    Page("form-eye", "repair", ("c",), "ctrl.s keep"),
    Page("link", "machine", (Row("Right lift rod +clos"), ENTER), "^ Right lift", has_numbers=True),
    Page("form-thread", "link", ("t",), "ctrl.s keep"),
)
_HITCH_PAGES = (
    Page("fleet for the hitch", "", (), rf"{_BOOK}(?s:.)*Small loader"),
    Page("machine for the hitch", "fleet for the hitch", (_AXLE, ENTER), "^ Hill trac"),
    Page("kept", "machine for the hitch", (Row("A, short 203"), ENTER), "^ Kept", has_numbers=True),
    Page("offers", "machine for the hitch", ("o",), "^ In the place", has_numbers=True),
    Page("offer", "offers", (Row("B, 203"), ENTER), "^ B, 203", has_numbers=True),
    Page("force", "offer", ("f",), "^ Force and", has_numbers=True),
    Page("form-oil", "force", ("p",), "ctrl.s keep"),
    Page("form-offer", "offers", ("a",), "ctrl.s keep"),
    Page("hitch", "machine for the hitch", ("h",), "^ Hill trac.*(hitch|with)", has_numbers=True),
    Page("hitch-lifted", "hitch", (RIGHT,), "^ Hill trac.*(hitch|with)", has_numbers=True, back=LEFT),
    Page("hitch-numbers", "hitch", ("t",), "^ Hill trac.*all numbers|^ Numbers", has_numbers=True),
    Page("hitch-parts", "hitch", ("c",), "^ .*[Mm]easured"),
)

_TO_THE_BALL = ("o", Row("Top link, implement end, ball"), ENTER)
_SIX_READINGS = ("20.70\r", "20.04\r", "19.41\r", "20.03\r", "20.69\r", "20.05\r")

_ROUND_PAGES = (
    Page("fleet for the round", "", (), rf"{_BOOK}(?s:.)*Small loader"),
    Page("form-round", "fleet for the round", (_AXLE, "m"), "ctrl.s keep"),
    Page("round-start", "form-round", (KEEP,), r"^ >\s*$", back=""),
    Page("walk", "round-start", ("o",), "^ The walk"),
    Page("round-hole", "round-start", (*_TO_THE_BALL, *_SIX_READINGS), r"20\.05", has_numbers=True, back=""),
    Page("round-evidence", "round-hole", ("e",), "^ Other evid"),
    Page("round-help", "round-hole", (HELP_WHILE_TYPING,), "^ Keys of this"),
    Page("round-pin", "round-hole", (TAB, "18.95\r"), r"18\.95", has_numbers=True, back=""),
    Page("round-link", "round-pin", ("o", Row("Top link, length"), ENTER), "^ Top link, length", back=""),
)
_FIRST_PAGES = (
    Page("first-run", "", (), "^ +Leave"),
    Page("first-help", "first-run", ("?",), "^ Keys of this"),
    Page("form-logbook", "first-run", (ENTER,), "ctrl.s keep"),
)
_FAULT_PAGES = (
    Page("fleet-with-faults", "", (), "problems in the files"),
    Page("problems", "fleet-with-faults", ("!",), "^ Problems"),
)
DOUBT_KEY = "b"
DOUBT = Page("doubt for b", "", (DOUBT_KEY,), "^ Behind the")
TOURS = (
    Tour("fleet", _sample, _FLEET_PAGES),
    Tour("machine", _sample, _MACHINE_PAGES),
    Tour("hitch", _sample, _HITCH_PAGES),
    Tour("round", _sample, _ROUND_PAGES),
    Tour("first", _no_logbook, _FIRST_PAGES),
    Tour("faults", _with_faults, _FAULT_PAGES),
)


def checked_pages(tour: Tour, size: str) -> frozenset[str]:
    """Name the pages that the tests look at; forms and help at 80x24 only, to be quick."""
    names = {page.name for page in tour.pages if not page.is_way}
    return frozenset(name for name in names if size == "80x24" or not (name.startswith("form-") or "help" in name))


def needed_for(tour: Tour, names: frozenset[str]) -> tuple[Page, ...]:
    """Return the pages of a tour that are asked for and those on the way to them; all where none is named."""
    by_name = {page.name: page for page in tour.pages}
    wanted = {name for name in names if name in by_name}
    for page in reversed(tour.pages):
        if page.name in wanted and page.before:
            wanted.add(page.before)
    return tuple(page for page in tour.pages if page.name in wanted or not names)
