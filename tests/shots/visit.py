"""A walk through a tour's pages in one run of the program: each page's picture, and what it cost to open."""

import re
from collections import Counter
from collections.abc import Collection, Iterator
from contextlib import suppress
from typing import NamedTuple

from tests.shots.emulator import Picture
from tests.shots.pages import DOUBT, DOUBT_KEY, ESCAPE, Page, Row, Tour, needed_for
from tests.shots.program import Program, Size, program

_HOME, _END, _UP, _DOWN = "\x1b[H", "\x1b[F", "\x1b[A", "\x1b[B"
_MOST_MOVES = 60
_NARROW = 60
_WIDE = Size(100, 50)
_TRIES = 8
_FAR = 6  # rows; fewer lines than the smallest list shows are passed in one go
_CHOSEN = re.compile(r"^ ?> ")

Places = dict[tuple[str, int], int]


class Visit(NamedTuple):
    """What one page looked like. `fault` says why there is no picture, or what is wrong with it."""

    page: Page
    picture: Picture | None
    n_bytes: int = 0
    key_bytes: int = 0
    spills: tuple[str, ...] = ()
    stale: tuple[str, ...] = ()
    rest: tuple[str, ...] = ()
    fault: str = ""


class Look(NamedTuple):
    """What is looked at beside the picture: drawn anew, its numbers opened with b, the bytes of a key, its end."""

    anew: bool = False
    doubt: bool = False
    key: bool = False
    end: bool = False


JUST_THE_PICTURE = Look()


class Walk:
    """Goes from page to page; knows where it stands."""

    def __init__(self, running: Program, tour: Tour, places: Places | None = None, *, counts: bool = False) -> None:
        self._program = running
        self._by_name = {page.name: page for page in tour.pages}
        self._at: list[Page] = []
        self._known = places
        self._counts = counts  # step by step, so that what is counted holds: at the end of a list a key does nothing
        self.places: Places = {}

    def open(self, page: Page) -> tuple[Picture, int]:
        """Go to a page; return it and the bytes of its last step."""
        path = [page]
        while path[0].before:
            path.insert(0, self._by_name[path[0].before])
        while self._at and self._at[-1] not in path:
            self._leave()
        n_bytes = 0
        for step in path[len(self._at) :]:
            n_bytes = self._enter(step)
        return self._program.picture(), n_bytes or self._program.n_bytes

    def _leave(self) -> None:
        last = self._at.pop()
        if self._at and last.back:
            self._program.type(last.back)
            self._program.see(self._at[-1].is_on, f"{self._at[-1].name} again")

    def _enter(self, page: Page) -> int:
        before = self._program.n_bytes
        for number, step in enumerate(page.steps):
            before = self._program.n_bytes
            if isinstance(step, Row):
                self._choose(step, (page.name, number))
            else:
                self._program.type(step)
        self._program.see(page.is_on, page.name)
        self._at.append(page)
        return self._program.n_bytes - before

    def start_over(self) -> None:
        """Back to the first page from wherever a key led."""
        self._at = []
        root = next(iter(self._by_name.values()))
        for _ in range(_TRIES):
            if root.is_on(self._program.text):
                self._at = [root]
                return
            self._program.type(ESCAPE)

    def _choose(self, row: Row, place: tuple[str, int]) -> None:
        """Go to a line of a list; in a narrow window, where names are cut, as many lines down as in a wide one."""
        if self._known is not None:
            assert place in self._known, f"{row.words!r} was not found in a wide window either"
            self._program.type(_HOME + _DOWN * self._known[place])
            return
        self._program.type(_HOME)
        moves, has_turned = 0, False
        for _ in range(_MOST_MOVES):
            chosen, wanted = (_row_of(self._program.text, words) for words in (_CHOSEN, row.words))
            if chosen is not None and chosen == wanted:
                self.places[place] = moves
                return
            apart = _FAR if chosen is None or wanted is None else wanted - chosen
            has_turned |= apart < 0  # it went too far: the lines between take more than a row each
            count = 1 if has_turned or self._counts else max(abs(apart) * 2 // 3, 1)
            self._program.type((_DOWN if apart > 0 else _UP) * count)
            moves += count if apart > 0 else -count
        raise AssertionError(f"no line with {row.words!r} can be chosen:\n{self._program.text}")


def _row_of(screen: str, words: str | re.Pattern[str]) -> int | None:
    return next((y for y, text in enumerate(screen.split("\n")) if re.search(words, text)), None)


def visits(
    tour: Tour, size: Size, mode: str = "colour", names: Collection[str] = (), look: Look = JUST_THE_PICTURE
) -> Iterator[Visit]:
    """Yield the pages of a tour, those named or all."""
    wanted = needed_for(tour, frozenset(names))
    places = _wide_places(tour, wanted) if size.columns < _NARROW else None
    with program(tour.prepare, size, mode) as running:
        walk = Walk(running, tour, places)
        missed: set[str] = set()
        for page in wanted:
            try:
                assert page.before not in missed, f"it is opened from {page.before}, which was not reached"
                picture, n_bytes = walk.open(page)
                found = _looked_at(running, page, picture, n_bytes, look)
            except AssertionError as error:
                missed.add(page.name)
                walk.start_over()
                found = Visit(page, None, fault=str(error))
            if page.name in names or not (names or page.is_way):
                yield found


def _wide_places(tour: Tour, wanted: tuple[Page, ...]) -> Places:
    """Where the lines to be chosen stand in their lists, found out in a window wide enough for their names."""
    if not any(isinstance(step, Row) for page in wanted for step in page.steps):
        return {}
    with program(tour.prepare, _WIDE) as running:
        walk = Walk(running, tour, counts=True)
        for page in wanted:
            with suppress(AssertionError):
                walk.open(page)
        return walk.places


def _looked_at(running: Program, page: Page, picture: Picture, n_bytes: int, look: Look) -> Visit:
    key_bytes, fault, spills = 0, "", tuple(running.spills)
    stale: tuple[str, ...] = ()
    if look.anew:
        anew = running.drawn_anew()
        stale = tuple(
            f"{was!r}, drawn anew {now!r}" for was, now in zip(picture.lines, anew.lines, strict=True) if was != now
        )
        spills += tuple(running.spills)
    if look.key:
        key_bytes = running.type(_DOWN)
        running.type(_UP)
    rest = _rows_behind(running, picture) if look.end else ()
    if look.doubt and page.has_numbers:
        fault = _without_doubt(running, page)
    return Visit(page, picture, n_bytes, key_bytes, spills, stale, rest, fault)


def _rows_behind(running: Program, picture: Picture) -> tuple[str, ...]:
    """Go to the end of a page that is higher than the window; return the rows that were not seen before."""
    if not any(row.endswith(" v more") for row in picture.lines):
        return ()
    running.type(_END)
    rest = Counter(running.picture().lines) - Counter(picture.lines)
    running.type(_HOME)
    return tuple(rest.elements())


def _without_doubt(running: Program, page: Page) -> str:
    """Press b; return what is wrong where it opens no number."""
    running.type(DOUBT_KEY)
    text = running.text
    if not DOUBT.is_on(text):
        return f"b opens no number:\n{text}"
    running.type(ESCAPE)
    running.see(page.is_on, f"{page.name} again, after b")
    return ""
