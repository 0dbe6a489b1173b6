"""A terminal that keeps what it is sent: the screen as cells, faint text too, and what was written past the edge."""

import functools
import re
from typing import NamedTuple

import pyte
from wcwidth import wcwidth

_PRIVATE = re.compile(rb"\x1b\[[<>=][0-9;]*[a-zA-Z]")
_LOOK = re.compile(rb"\x1b\[([0-9;]*)m")
_UNFINISHED = re.compile(rb"\x1b(?:\[[0-9;<>=?]*)?\Z")
_COLOURS = ("black", "red", "green", "yellow", "blue", "magenta", "cyan", "white")
_SPOKEN = {"brown": "yellow"}


class Cell(NamedTuple):
    """One character and its look; colours are names of the terminal's sixteen, six hex digits, or "default"."""

    char: str = " "
    ink: str = "default"
    ground: str = "default"
    bold: bool = False
    dim: bool = False
    under: bool = False
    struck: bool = False
    turned: bool = False

    @property
    def look(self) -> tuple[str | bool, ...]:
        """Everything but the character."""
        return self[1:]


class Picture(NamedTuple):
    """What a terminal shows; the second cell of a wide character holds an empty text."""

    rows: tuple[tuple[Cell, ...], ...]

    @property
    def lines(self) -> tuple[str, ...]:
        """The rows as text, without the blanks behind them."""
        return tuple("".join(cell.char for cell in row).rstrip() for row in self.rows)

    @property
    def text(self) -> str:
        """The screen as text."""
        return "\n".join(self.lines)

    @property
    def coloured(self) -> str:
        """The screen as text with the codes that give it its colours again in any terminal."""
        return "\n".join(_coloured(row) for row in self.rows)


def _coloured(row: tuple[Cell, ...]) -> str:
    text, look = "", Cell().look
    for cell in row:
        if cell.look != look:
            text, look = f"{text}\x1b[{_codes(cell)}m", cell.look
        text += cell.char
    return f"{text}\x1b[0m"


def _codes(cell: Cell) -> str:
    on = {"1": cell.bold, "2": cell.dim, "4": cell.under, "7": cell.turned, "9": cell.struck}
    codes = ["0", *(code for code, is_on in on.items() if is_on)]
    codes += [code for code in (_colour(cell.ink, 30), _colour(cell.ground, 40)) if code]
    return ";".join(codes)


def _colour(name: str, base: int) -> str:
    bright, plain = name.startswith("bright"), name.removeprefix("bright")
    if plain in _COLOURS:
        return str(base + _COLOURS.index(plain) + 60 * bright)
    if len(name) == 6:
        return f"{base + 8};2;{';'.join(str(int(name[at : at + 2], 16)) for at in (0, 2, 4))}"
    return ""


class _Screen(pyte.Screen):
    """pyte's screen, noting what is written past the last column."""

    def __init__(self, columns: int, rows: int) -> None:
        super().__init__(columns, rows)
        self.spills: list[str] = []

    def draw(self, data: str) -> None:
        """Note text that a terminal would carry on in the next line, where it lies over something else."""
        end = self.cursor.x + (len(data) if _is_narrow(data) else sum(max(wcwidth(char), 0) for char in data))
        if end > self.columns:
            self.spills.append(data)
        if end > self.columns or not _is_narrow(data):
            super().draw(data)
            return
        line, look = self.buffer[self.cursor.y], self.cursor.attrs
        for x, char in enumerate(data, self.cursor.x):
            line[x] = _char(look, char)
        self.cursor.x = end


def _is_narrow(data: str) -> bool:
    """Tell whether every character takes one column for certain, so that nothing need be looked up."""
    return all(" " <= char <= "~" or "\u2500" <= char <= "\u259f" or "\u2800" <= char <= "\u28ff" for char in data)


@functools.cache
def _char(look: "pyte.screens.Char", char: str) -> "pyte.screens.Char":
    return look._replace(data=char)


class Emulator:
    """Takes bytes, gives pictures. pyte knows no faint text; it travels as blinking, which the program never sends."""

    def __init__(self, columns: int, rows: int) -> None:
        self._screen = _Screen(columns, rows)
        self._stream = pyte.ByteStream(self._screen)
        self._held = b""

    def feed(self, data: bytes) -> None:
        """Take bytes; a sequence cut in two waits for its other half."""
        data = self._held + data
        cut = _UNFINISHED.search(data)
        data, self._held = (data[: cut.start()], data[cut.start() :]) if cut else (data, b"")
        # private sequences with < > = are passed over by a terminal that does not know them; pyte would print them
        self._stream.feed(_LOOK.sub(_faint_as_blink, _PRIVATE.sub(b"", data)))

    @property
    def spills(self) -> list[str]:
        """Texts that were written past the last column since this was made."""
        return self._screen.spills

    @property
    def text(self) -> str:
        """The screen as text."""
        buffer, columns = self._screen.buffer, range(self._screen.columns)
        rows = (buffer[y] for y in range(self._screen.lines))
        return "\n".join("".join([row[x].data for x in columns]).rstrip() for row in rows)

    def picture(self) -> Picture:
        """The screen as it stands, every cell."""
        columns, rows = range(self._screen.columns), range(self._screen.lines)
        return Picture(tuple(tuple(_cell(self._screen.buffer[y][x]) for x in columns) for y in rows))


@functools.cache
def _cell(char: "pyte.screens.Char") -> Cell:
    ink, ground = (_name(colour) for colour in (char.fg, char.bg))
    return Cell(char.data, ink, ground, char.bold, char.blink, char.underscore, char.strikethrough, turned=char.reverse)


def _name(colour: str) -> str:
    for pyte_word, word in _SPOKEN.items():
        colour = colour.replace(pyte_word, word)
    return colour


def _faint_as_blink(found: re.Match[bytes]) -> bytes:
    codes, at = found.group(1).split(b";"), 0
    changed: list[bytes] = []
    while at < len(codes):
        if codes[at] in {b"38", b"48"}:
            size = 5 if codes[at + 1 : at + 2] == [b"2"] else 3
            changed += codes[at : at + size]
            at += size
            continue
        changed.append({b"2": b"5", b"22": b"22;25"}.get(codes[at], codes[at]))
        at += 1
    return b"\x1b[" + b";".join(changed) + b"m"
