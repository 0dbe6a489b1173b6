"""Dots on a grid of characters, for every picture: braille where the terminal has it, plain ASCII elsewhere."""

import math

_BRAILLE_BASE = 0x2800
_BRAILLE_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))


class Canvas:
    """Dots on a grid of characters: 2 x 4 a character in braille, 1 x 2 in plain ASCII."""

    def __init__(self, columns: int, rows: int, *, ascii_only: bool) -> None:
        self.columns, self.rows, self.ascii_only = columns, rows, ascii_only
        self.across, self.down = (1, 2) if ascii_only else (2, 4)
        self.dots: dict[tuple[int, int], int] = {}
        self.letters: dict[tuple[int, int], str] = {}

    def dot(self, x: float, y: float) -> None:
        """Set one dot; x to the right, y down, in dots."""
        column, in_column = divmod(round(x), self.across)
        row, in_row = divmod(round(y), self.down)
        if 0 <= column < self.columns and 0 <= row < self.rows:
            bit = 1 << in_row if self.ascii_only else _BRAILLE_BITS[in_row][in_column]
            self.dots[column, row] = self.dots.get((column, row), 0) | bit

    def letter(self, x: float, y: float, letter: str) -> None:
        """Put a letter over the character that a dot is in."""
        self.letters[round(x) // self.across, round(y) // self.down] = letter

    def bar(self, start: tuple[float, float], end: tuple[float, float], every: int = 1) -> None:
        """Draw a straight line, or with `every` above 1 only each so many-eth dot of it."""
        steps = max(math.ceil(max(abs(end[0] - start[0]), abs(end[1] - start[1]))), 1)
        for step in range(0, steps + 1, every):
            share = step / steps
            self.dot(start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))

    def row(self, row: int) -> str:
        """Return one row of characters."""
        return "".join(self.cell(column, row) for column in range(self.columns))

    def cell(self, column: int, row: int) -> str:
        """Return one character."""
        if (column, row) in self.letters:
            return self.letters[column, row]
        bits = self.dots.get((column, row), 0)
        if not bits:
            return " "
        return ("", "'", ".", ":")[bits] if self.ascii_only else chr(_BRAILLE_BASE + bits)
