"""Take every page of the program as text and as PNG, from the real program on a terminal of its own.

Run as `python tests/shots/take.py FOLDER [--page NAME ...] [--size 80x24 ...] [--mode colour|plain|ascii ...]` with the
project's interpreter; without options all pages at four sizes in all three modes. `--words` and `--bytes` print tables
instead: the words of each page, beside those of words_before.txt, and what a page and a key on it cost on the line.
`--cuts` writes cut_today.txt anew from what is cut; a reason already there is kept.
"""

import argparse
import itertools
import sys
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import NamedTuple

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parents[1]))

from tests.shots.drawing import PALETTES, drawn  # noqa: E402 -- found through the line above
from tests.shots.pages import TOURS, checked_pages  # noqa: E402
from tests.shots.program import MODES, Size, size_of  # noqa: E402
from tests.shots.reading import allowed_cuts, cuts, number_count, word_count  # noqa: E402
from tests.shots.visit import JUST_THE_PICTURE, Look, visits  # noqa: E402

SIZES = ("80x24", "60x20", "40x20", "120x40")
SMALL_SIZES = ("80x24", "60x20")
WHOLE_PAGE = "80x200"  # a window in which every page stands to its end
AT_ONCE = 2
WORDS_BEFORE = HERE / "words_before.txt"
CUT_TODAY = HERE / "cut_today.txt"
_PALETTES_OF = {"colour": ("dark", "light"), "plain": ("dark",), "ascii": ("dark",)}


class Job(NamedTuple):
    """One tour at one size in one mode, and where its pictures go; none are written without a folder."""

    tour: int
    size: Size
    mode: str
    pages: tuple[str, ...]
    folder: Path | None = None
    look: Look = JUST_THE_PICTURE


class Taken(NamedTuple):
    """What is kept of one page."""

    page: str
    size: str
    mode: str
    words: int = 0
    numbers: int = 0
    n_bytes: int = 0
    key_bytes: int = 0
    cuts: tuple[str, ...] = ()
    fault: str = ""


def taken(job: Job) -> list[Taken]:
    """Walk a tour; write its pictures."""
    found = []
    for visit in visits(TOURS[job.tour], job.size, job.mode, job.pages, job.look):
        page, picture = visit.page.name, visit.picture
        if picture is None:
            found.append(Taken(page, str(job.size), job.mode, fault=visit.fault))
            continue
        text = "\n".join((picture.text, *visit.rest))
        counts = word_count(text), number_count(text), visit.n_bytes, visit.key_bytes
        found.append(Taken(page, str(job.size), job.mode, *counts, cuts(picture), visit.fault))
        if job.folder is not None:
            job.folder.mkdir(parents=True, exist_ok=True)
            (job.folder / f"{page}.txt").write_text(f"{picture.text}\n", encoding="utf-8")
            (job.folder / f"{page}.ansi").write_text(f"{picture.coloured}\n", encoding="utf-8")
            for name in _PALETTES_OF[job.mode]:
                tail = "" if name == "dark" else f"-{name}"
                drawn(picture, PALETTES[name]).save(job.folder / f"{page}{tail}.png")
    return found


def all_taken(jobs: Iterable[Job]) -> Iterator[Taken]:
    """Do the jobs, as many at once as there are likely to be processors."""
    with ProcessPoolExecutor(AT_ONCE) as pool:
        yield from itertools.chain.from_iterable(pool.map(taken, jobs))


def jobs_for(
    sizes: Sequence[str], modes: Sequence[str], pages: Sequence[str], look: Look = JUST_THE_PICTURE
) -> list[Job]:
    """Every tour that has one of the pages, at every size in every mode."""
    tours = [n for n, tour in enumerate(TOURS) if not pages or {page.name for page in tour.pages} & set(pages)]
    every = itertools.product(sizes, modes, tours)
    return [Job(tour, size_of(size), mode, tuple(pages), None, look) for size, mode, tour in every]


def take(folder: Path, jobs: Iterable[Job]) -> int:
    """Write the pictures; say what could not be taken."""
    placed = [job._replace(folder=folder / f"{job.size}-{job.mode}") for job in jobs]
    missed = [item for item in all_taken(placed) if item.fault]
    for item in missed:
        print(f"{item.page} at {item.size}, {item.mode}: {item.fault}")
    print(f"{len(placed)} walks; {len(missed)} pages could not be taken; pictures are in {folder}")
    return 1 if missed else 0


def words(pages: Sequence[str]) -> int:
    """Print the words of each page as first seen and to its end, beside those before."""
    seen = {item.page: item for item in all_taken(jobs_for(("80x24",), ("colour",), pages))}
    whole = {item.page: item for item in all_taken(jobs_for((WHOLE_PAGE,), ("colour",), pages, Look(end=True)))}
    before = words_before()
    print(f"{'page':18}{'80x24':>7}{'before':>8}{'to its end':>12}{'before':>8}{'now':>7}{'numbers':>9}")
    for page, item in seen.items():
        was_seen, was_whole = before.get(page, (0, 0))
        share = f"{100 * whole[page].words / was_whole:.0f} %" if was_whole else "-"
        row = f"{page:18}{item.words:7}{was_seen:8}{whole[page].words:12}{was_whole:8}{share:>7}"
        print(f"{row}{whole[page].numbers:9}")
    print(f"{'together':18}{sum(i.words for i in seen.values()):7}", end="")
    print(f"{'':8}{sum(i.words for i in whole.values()):12}{sum(n for _, n in before.values()):8}")
    return 0


def words_before() -> dict[str, tuple[int, int]]:
    """Read the counts that were kept: page, words at 80x24, words to its end."""
    if not WORDS_BEFORE.exists():
        return {}
    rows = (row.split() for row in WORDS_BEFORE.read_text(encoding="utf-8").splitlines() if not row.startswith("#"))
    return {row[0]: (int(row[1]), int(row[2])) for row in rows if row}


def line_bytes(sizes: Sequence[str], pages: Sequence[str]) -> int:
    """Print the bytes that opening each page costs, and a step down on it."""
    print(f"{'page':18}{'size':>8}{'opened':>9}{'down':>7}")
    for item in all_taken(jobs_for(sizes, ("colour",), pages, Look(key=True))):
        print(f"{item.page:18}{item.size:>8}{item.n_bytes:9}{item.key_bytes:7}")
    return 0


def write_cuts() -> int:
    """Write the list of cut rows anew, keeping its reasons."""
    known = {(item.page, item.size): item.reason for item in allowed_cuts(CUT_TODAY)} if CUT_TODAY.exists() else {}
    head = [row for row in CUT_TODAY.read_text(encoding="utf-8").splitlines() if row.startswith("#")] if known else []
    rows = []
    for item in all_taken(jobs_for(SMALL_SIZES, ("colour",), ())):
        if item.cuts and any(item.page in checked_pages(tour, item.size) for tour in TOURS):
            reason = known.get((item.page, item.size), item.cuts[0].strip())
            rows.append(f"{item.page:18} {item.size} {len(item.cuts):3}  {reason}")
    CUT_TODAY.write_text("\n".join((*head, *rows, "")), encoding="utf-8")
    print(f"{len(rows)} pages have cut rows")
    return 0


def main() -> int:
    """Do what the command line asks."""
    parser = argparse.ArgumentParser(description="Every page of the program as text and PNG.")
    parser.add_argument("folder", type=Path, nargs="?", help="where the pictures go")
    parser.add_argument("--page", action="append", default=[], metavar="NAME", help="this page only; may be repeated")
    parser.add_argument("--size", action="append", default=[], metavar="80x24", help="may be repeated")
    parser.add_argument("--mode", action="append", default=[], choices=MODES, help="may be repeated")
    parser.add_argument("--words", action="store_true", help="print the words of each page instead")
    parser.add_argument("--bytes", action="store_true", help="print what each page and a key on it cost instead")
    parser.add_argument("--cuts", action="store_true", help="write the list of cut rows anew instead")
    given = parser.parse_args()
    if given.words:
        return words(given.page)
    if given.bytes:
        return line_bytes(given.size or SMALL_SIZES, given.page)
    if given.cuts:
        return write_cuts()
    if given.folder is None:
        parser.error("give a folder for the pictures")
    return take(given.folder, jobs_for(given.size or SIZES, given.mode or MODES, given.page))


if __name__ == "__main__":
    sys.exit(main())
