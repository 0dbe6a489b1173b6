"""One TOML file of the logbook as far as it can be read, with everything wrong in its text."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from fieldlog.quantity.said import Said, said
from fieldlog.quantity.text import harmless, shortened
from fieldlog.records.problems import Problem
from fieldlog.store.files import Unreadable, read_file
from fieldlog.store.salvage import Piece, merged, pieces_of, torn_from
from fieldlog.store.toml_text import Place, Table, UnreadableText, lines_of, parse_table

_ANY_HEADER = re.compile(r"^[ \t]*\[", re.MULTILINE)


def line_at(text: str, position: int) -> int:
    """Return the line, counted from 1, that a position in the text is on."""
    return text.count("\n", 0, position) + 1


FORMAT = 1
WRITE_FORMAT = said("accepted.format", format=FORMAT)
BOM = b"\xef\xbb\xbf"
_UTF16 = (b"\xff\xfe", b"\xfe\xff")
_NOT_UTF8 = re.compile("[\udc80-\udcff]")
_MOST_BAD_LINES = 20


@dataclass(frozen=True, slots=True)
class Document:
    """A file's text and table. `torn` is where in the text an unfinished write begins.

    `format` is 0 where the file names none that is known; bytes that are not UTF-8 stand in `text` as lone
    surrogates, so that `text` can be turned back into the file's very bytes.
    """

    file: str
    text: str = ""
    table: Table = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    starts: Mapping[tuple[str, int], int] = field(default_factory=dict)
    torn: int | None = None
    format: int = 0
    is_there: bool = True

    @property
    def is_newer(self) -> bool:
        """Tell whether a newer program wrote this, so that this one must not write to it."""
        return self.format > FORMAT

    def records(self, name: str) -> list[object]:
        """Return what stands under [[name]], in the order of the file."""
        found = self.table.get(name)
        return found if isinstance(found, list) else []

    def problem(self, place: tuple[str, int], key: str, wrong: Said, accepted: Said | None) -> Problem:
        """Return a problem of the `index`-th record of an array.

        ("", 0) is the head of the file, and an index of -1 is a table that stands alone, as [hitch] does.
        """
        line = self._salvaged_line(place, key) if place in self.starts else self._line(place, key)
        return Problem(self.file, line, shortened(key), wrong, accepted)

    def _line(self, place: tuple[str, int], key: str) -> int:
        """Return the line of a key, else of what it belongs to, else 0."""
        table, index = place
        head: Place = () if not table else (table,) if index < 0 else (table, index)
        return _first_of(lines_of(self.text), (*head, key), head, head[:1])

    def _salvaged_line(self, place: tuple[str, int], key: str) -> int:
        """Return the line of a key within the piece of a broken file that its record was read from."""
        (table, index), start = place, self.starts[place]
        nth = next(back for back in range(index + 1) if self.starts.get((table, index - back - 1)) != start)
        following = _ANY_HEADER.search(self.text, start + 1)
        piece = lines_of(self.text[start : following.start() if following else len(self.text)])
        inside = _first_of(piece, (table, nth, key), (table, nth), (table,))
        return line_at(self.text, start) + max(inside - 1, 0)


def _first_of(lines: Mapping[Place, int], *places: Place) -> int:
    return next((lines[place] for place in places if place in lines), 0)


def open_document(folder: Path, file: str, kinds: Sequence[str] = ()) -> Document:
    """Read a file of the logbook; `kinds` are the entries of a round file, each of which ends with its `at`."""
    name = harmless(file)
    try:
        document = document_of(file, read_file(folder / file), kinds)
    except Unreadable as error:
        problem = Problem(name, 0, "", said("problem.unreadable", why=error.why))
        return Document(name, problems=(problem,), is_there=not error.is_missing)
    if document.format or not _leads_away(folder, file):
        return document
    problem = Problem(name, 0, "", said("problem.leads_away"), said("accepted.file_itself"))
    return Document(name, problems=(problem,))


def _leads_away(folder: Path, file: str) -> bool:
    """Tell whether a file of the logbook is really one outside of it, by a link on the way to it."""
    return not (folder / file).resolve().is_relative_to(folder.resolve())


def text_of(data: bytes) -> str:
    """Return the bytes of a file as text; what is not UTF-8 stands in it as lone surrogates."""
    return data.removeprefix(BOM).decode("utf-8", "surrogateescape")


def document_of(file: str, data: bytes, kinds: Sequence[str] = ()) -> Document:
    """Return what is in the bytes of a file."""
    name = harmless(file)
    if data.startswith(_UTF16):
        problem = Problem(name, 1, "", said("problem.utf16"), said("accepted.it_as_utf8"))
        return Document(name, problems=(problem,))
    whole_text = text_of(data)
    text = whole_text.rstrip("\0")
    if not text.strip():
        return Document(name, whole_text, problems=(Problem(name, 0, "", said("problem.holds_nothing"), WRITE_FORMAT),))
    clean = text if text.isascii() else _NOT_UTF8.sub("\ufffd", text)
    table, starts, torn, problems = _tables(name, text, clean, kinds)
    if torn is None and len(text) < len(whole_text):
        torn = len(text)
    if torn is not None:
        problems = [*problems, _torn_problem(name, whole_text, torn)]
    problems += _bad_bytes(name, text[:torn]) if clean is not text else []
    number, format_problems = _format(name, text, table)
    return Document(name, whole_text, table, (*format_problems, *problems), starts, torn, number)


def _tables(
    name: str, text: str, clean: str, kinds: Sequence[str]
) -> tuple[Table, Mapping[tuple[str, int], int], int | None, list[Problem]]:
    """Return the table, where salvaged records begin, where a torn end begins, and the problems."""
    fault: UnreadableText | None = None
    try:
        table = parse_table(clean)
        if not _any_lacks_at(table, kinds):
            return table, {}, None, []
    except UnreadableText as error:
        fault = error
    pieces = pieces_of(clean, has_times=bool(kinds))
    torn = torn_from(text, pieces, kinds) if kinds else None
    if torn is not None:
        pieces = [_cut(piece, torn) for piece in pieces]
    table, starts, clashes = merged(clean, pieces)
    problems = [
        Problem(name, piece.complaint_line, "", piece.complaint.wrong, piece.complaint.accepted)
        for piece in (*pieces, *clashes)
        if piece.complaint
    ]
    if fault and not problems and torn is None:  # each piece can be read, but not all together
        problems = [Problem(name, fault.line, "", fault.wrong, fault.accepted)]
    return table, starts, torn, problems


def _any_lacks_at(table: Table, kinds: Sequence[str]) -> bool:
    for kind in kinds:
        records = table.get(kind)
        if isinstance(records, list):
            for record in records:
                if isinstance(record, dict) and "at" not in record:
                    return True
    return False


def _cut(piece: Piece, torn: int) -> Piece:
    """Return the piece without the torn end, which is reported on its own."""
    if piece.read_to < torn or piece.start > torn:
        return piece
    table = piece.table if piece.start < torn else {}
    return Piece(piece.start, min(piece.read_to, torn), piece.line, table)


def _torn_problem(name: str, text: str, torn: int) -> Problem:
    rest = text[torn:].strip("\0\r\n\t ")
    wrong = said("problem.torn", rest=shortened(rest)) if rest else said("problem.torn_zeros")
    return Problem(name, line_at(text, torn), "", wrong, said("accepted.torn"))


def _bad_bytes(name: str, text: str) -> list[Problem]:
    bad = [(number, line) for number, line in enumerate(text.split("\n"), 1) if _NOT_UTF8.search(line)]
    return [
        Problem(name, number, "", said("problem.not_utf8", line=_shown_bytes(line)), said("accepted.file_as_utf8"))
        for number, line in bad[:_MOST_BAD_LINES]
    ]


def _shown_bytes(line: str) -> str:
    return shortened(line.strip().encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace"))


def _format(name: str, text: str, table: Table) -> tuple[int, list[Problem]]:
    """Return the file's format number, 0 for none, and what is wrong with it."""
    found = table.get("format")
    line = 0 if found == FORMAT else lines_of(text).get(("format",), 0)
    if found is None:
        return 0, [Problem(name, line, "format", said("problem.names_no_format"), WRITE_FORMAT)]
    if not isinstance(found, int) or isinstance(found, bool) or found < 1:
        return 0, [Problem(name, line, "format", said("problem.no_format"), WRITE_FORMAT)]
    if found == FORMAT:
        return FORMAT, []
    wrong = said("problem.newer_format", found=min(found, 999_999), known=FORMAT)
    return min(found, 999_999), [Problem(name, line, "format", wrong, said("accepted.newer"))]
