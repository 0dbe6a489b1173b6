"""What can be read off a picture by rule: what was cut off, how many words there are."""

import re
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from tests.shots.emulator import Picture

_CUT = re.compile(r"(?<=[^\s.])\.\.(?=\s|$)|(?<=\S) \.\.$")
_COVERED = re.compile(r"\S [v^] more$")
_AT_THE_EDGE = re.compile(r"[\w,;:(-]$")
_WAY_OUT = re.compile(r"\besc (back|drop|stay)|\bq leave")
_PATH = re.compile(r"(?<!\S)/\S+")
_WORD = re.compile(r"[^\W\d_][^\W\d_]+(?:['’-][^\W\d_]+)*")
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")


def cuts(picture: Picture) -> tuple[str, ...]:
    """Return the rows on which something is cut, and say so where the keys are.

    A cut row ends in two dots, or under the scroll mark, or in a word in the last column, where another may follow.
    """
    width = len(picture.rows[0])
    rows = [row for row in picture.lines if _CUT.search(row) or _COVERED.search(row) or _is_full(row, width)]
    return (*rows, *(() if _WAY_OUT.search(picture.text) else ("the keys do not say how to leave",)))


def _is_full(row: str, width: int) -> bool:
    is_mark = row.endswith((" v more", " ^ more"))
    return len(row) >= width and not is_mark and _AT_THE_EDGE.search(row) is not None


def word_count(text: str) -> int:
    """Return how many words of two letters or more a screen has; a path counts as none."""
    return len(_WORD.findall(_PATH.sub(" ", text)))


def number_count(text: str) -> int:
    """Return how many numbers a screen has."""
    return len(_NUMBER.findall(_PATH.sub(" ", text)))


class Allowed(NamedTuple):
    """So many cut rows are known on a page at a size, and why."""

    page: str
    size: str
    rows: int
    reason: str


def allowed_cuts(file: Path) -> tuple[Allowed, ...]:
    """Read the list of known cuts: page, size, rows, and why, in columns."""
    rows = (row.split(maxsplit=3) for row in file.read_text(encoding="utf-8").splitlines())
    return tuple(Allowed(row[0], row[1], int(row[2]), row[3]) for row in rows if row and not row[0].startswith("#"))


def judged_cuts(found: Iterable[tuple[str, str, tuple[str, ...]]], allowed: Iterable[Allowed]) -> list[str]:
    """Compare pages, sizes and their cut rows with what is known; a list that is too long is wrong as well."""
    known = {(item.page, item.size): item.rows for item in allowed}
    said = []
    for page, size, rows in found:
        most = known.get((page, size), 0)
        if len(rows) > most:
            said.append("\n    ".join((f"{page} at {size}: {len(rows)} rows are cut, {most} known:", *rows)))
        elif len(rows) < most:
            said.append(f"{page} at {size}: only {len(rows)} rows are cut now; write {len(rows)} in place of {most}")
    return said
