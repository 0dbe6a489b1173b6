"""Every page of the real program on a terminal: reached, nothing cut beyond what is known, nothing left from before.

At 80x24 the numbers of each page are opened too; at 60x20 each page is drawn anew and compared, without forms and help.
"""

from pathlib import Path

import pytest

from tests.shots.emulator import Emulator
from tests.shots.pages import TOURS, Tour, checked_pages
from tests.shots.program import size_of
from tests.shots.reading import allowed_cuts, cuts, judged_cuts
from tests.shots.visit import Look, visits

CUT_TODAY = Path(__file__).with_name("cut_today.txt")
RUNS = [(tour, size) for size in ("80x24", "60x20") for tour in TOURS]


@pytest.mark.parametrize(("tour", "size"), RUNS, ids=[f"{tour.name}-{size}" for tour, size in RUNS])
def test_every_page_is_reached_and_whole(tour: Tour, size: str) -> None:
    """Each page opens with its keys; b opens its numbers; it fits, is clean, and cuts nothing beyond what is known."""
    look = Look(doubt=True) if size == "80x24" else Look(anew=True)
    found = tuple(visits(tour, size_of(size), names=checked_pages(tour, size), look=look))
    said = [f"{visit.page.name}: {visit.fault}" for visit in found if visit.fault]
    said += [f"{visit.page.name}, written past the edge: {visit.spills}" for visit in found if visit.spills]
    said += [f"{visit.page.name}, left over: {row}" for visit in found for row in visit.stale]
    seen = ((visit.page.name, size, cuts(visit.picture)) for visit in found if visit.picture is not None)
    said += judged_cuts(seen, allowed_cuts(CUT_TODAY))
    assert not said, "\n".join(said)


def test_known_cuts_are_of_pages_that_are_looked_at() -> None:
    """A line of the list about a page that is gone, or renamed, would never be taken off it."""
    looked_at = {(name, size) for tour, size in RUNS for name in checked_pages(tour, size)}
    assert not {(item.page, item.size) for item in allowed_cuts(CUT_TODAY)} - looked_at


def test_the_eye_sees_what_it_is_there_for() -> None:
    """A cut word, a row under the scroll mark, faint text, and text past the edge are all noticed."""
    screen = Emulator(20, 5)
    screen.feed(b"\x1b[2mfaint\x1b[22m a wor..\r\n full row her v more\r\n.. no limit   v more")
    screen.feed(b"\r\n esc back the end of")
    picture = screen.picture()
    assert picture.rows[0][0].dim
    assert not picture.rows[0][6].dim
    assert cuts(picture) == ("faint a wor..", " full row her v more", " esc back the end of")
    assert not Emulator(20, 4).spills
    screen.feed(b"\x1b[1;18Htoo far")
    assert screen.spills == ["too far"]
