"""A picture of the terminal's screen as PNG: boxes, blocks and braille as rectangles, so that no font need have them.

Letters come from a monospaced font where the machine has one, else from the one that Pillow brings along.
"""

import functools
from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

from PIL import Image, ImageDraw, ImageFont

from tests.shots.emulator import Cell, Picture

_WIDTH, _HEIGHT, _FONT_SIZE, _MARGIN = 10, 20, 16, 10
_FONT_FOLDERS = (Path("/usr/share/fonts"), Path("/usr/local/share/fonts"))
_FONT_NAMES = ("DejaVuSansMono", "LiberationMono-Regular", "NotoSansMono-Regular", "FreeMono")
_BOLD_NAMES = MappingProxyType(
    {
        "DejaVuSansMono": "DejaVuSansMono-Bold",
        "LiberationMono-Regular": "LiberationMono-Bold",
        "NotoSansMono-Regular": "NotoSansMono-Bold",
        "FreeMono": "FreeMonoBold",
    }
)
Colour = tuple[int, int, int]
Box = tuple[float, float, float, float]


class Palette(NamedTuple):
    """A terminal's colours: paper, ink, and sixteen by name."""

    paper: Colour
    ink: Colour
    named: Mapping[str, Colour]


def _palette(paper: str, ink: str, *sixteen: str) -> Palette:
    plain = ("black", "red", "green", "yellow", "blue", "magenta", "cyan", "white")
    names = (*plain, *(f"bright{name}" for name in plain))
    return Palette(_rgb(paper), _rgb(ink), {name: _rgb(text) for name, text in zip(names, sixteen, strict=True)})


def _rgb(text: str) -> Colour:
    return int(text[0:2], 16), int(text[2:4], 16), int(text[4:6], 16)


_DARK = (
    "1c2126 e0605a 63b05c d2a53c 5d94d6 b57bc4 45adb0 c9cdc6 6a737b f08a80 8ccf84 ecc866 8cb6ea d3a3de 7bcfd0 f2f4ef"
)
_LIGHT = (
    "22272b b3261e 2b7a2f 8a6400 1f5fae 86399b 0d7377 b9bdb5 5b6369 cf3b30 3b9440 a67a00 3577c9 a150b8 188d92 ffffff"
)
PALETTES = MappingProxyType(
    {
        "dark": _palette("15191d", "d4d7d1", *_DARK.split()),
        "light": _palette("fbfaf5", "23282c", *_LIGHT.split()),
    }
)


def drawn(picture: Picture, palette: Palette) -> Image.Image:
    """Draw a screen."""
    columns, rows = len(picture.rows[0]), len(picture.rows)
    size = columns * _WIDTH + 2 * _MARGIN, rows * _HEIGHT + 2 * _MARGIN
    image = Image.new("RGB", size, palette.paper)
    draw = ImageDraw.Draw(image)
    for y, row in enumerate(picture.rows):
        for x, cell in enumerate(row):
            _draw_cell(image, draw, (_MARGIN + x * _WIDTH, _MARGIN + y * _HEIGHT), cell, palette)
    return image


def _draw_cell(
    image: Image.Image, draw: ImageDraw.ImageDraw, corner: tuple[int, int], cell: Cell, palette: Palette
) -> None:
    ink, paper = _colours(cell, palette)
    x, y = corner
    if paper != palette.paper:
        draw.rectangle((x, y, x + _WIDTH - 1, y + _HEIGHT - 1), fill=paper)
    boxes = boxes_of(cell.char)
    for share, box in boxes:
        draw.rectangle(_placed(box, corner), fill=_mixed(ink, paper, share))
    if cell.char.strip() and not boxes:
        mask = _letter(cell.char, cell.bold)
        image.paste(ink, (x, y), mask)
    for is_on, height in ((cell.under, _HEIGHT - 2), (cell.struck, _HEIGHT // 2)):
        if is_on:
            draw.line((x, y + height, x + _WIDTH - 1, y + height), fill=ink)


def _placed(box: Box, corner: tuple[int, int]) -> tuple[int, int, int, int]:
    left, top, right, bottom = box
    x, y = corner
    return (
        x + round(left * _WIDTH),
        y + round(top * _HEIGHT),
        x + max(round(right * _WIDTH), round(left * _WIDTH) + 1) - 1,
        y + max(round(bottom * _HEIGHT), round(top * _HEIGHT) + 1) - 1,
    )


def _colours(cell: Cell, palette: Palette) -> tuple[Colour, Colour]:
    ink = _colour(cell.ink, palette.ink, palette)
    paper = _colour(cell.ground, palette.paper, palette)
    if cell.turned:
        ink, paper = paper, ink
    return (_mixed(ink, paper, 0.55) if cell.dim else ink), paper


def _colour(name: str, default: Colour, palette: Palette) -> Colour:
    if name == "default":
        return default
    return palette.named[name] if name in palette.named else _rgb(name)


def _mixed(ink: Colour, paper: Colour, share: float) -> Colour:
    red, green, blue = (round(a * share + b * (1 - share)) for a, b in zip(ink, paper, strict=True))
    return red, green, blue


# --- boxes -----------------------------------------------------------------------------------------------------------

_THIN, _HEAVY = 0.1, 0.3
# which arms a line drawing has, left, up, right, down: 1 is light, 2 heavy
_ARMS = MappingProxyType(
    {
        **dict.fromkeys("─┄┈╌", (1, 0, 1, 0)), **dict.fromkeys("━┅┉╍", (2, 0, 2, 0)),
        **dict.fromkeys("│┆┊╎", (0, 1, 0, 1)), **dict.fromkeys("┃┇┋╏", (0, 2, 0, 2)),
        "┌": (0, 0, 1, 1), "┐": (1, 0, 0, 1), "└": (0, 1, 1, 0), "┘": (1, 1, 0, 0),
        "┏": (0, 0, 2, 2), "┓": (2, 0, 0, 2), "┗": (0, 2, 2, 0), "┛": (2, 2, 0, 0),
        "├": (0, 1, 1, 1), "┤": (1, 1, 0, 1), "┬": (1, 0, 1, 1), "┴": (1, 1, 1, 0), "┼": (1, 1, 1, 1),
        "┣": (0, 2, 2, 2), "┫": (2, 2, 0, 2), "┳": (2, 0, 2, 2), "┻": (2, 2, 2, 0), "╋": (2, 2, 2, 2),
        "┝": (0, 1, 2, 1), "┥": (2, 1, 0, 1), "┠": (0, 2, 1, 2), "┨": (1, 2, 0, 2), "┿": (2, 1, 2, 1),
        "╂": (1, 2, 1, 2), "┷": (2, 1, 2, 0), "┯": (2, 0, 2, 1), "┸": (1, 2, 1, 0), "┰": (1, 0, 1, 2),
        "╴": (1, 0, 0, 0), "╵": (0, 1, 0, 0), "╶": (0, 0, 1, 0), "╷": (0, 0, 0, 1),
        "╸": (2, 0, 0, 0), "╹": (0, 2, 0, 0), "╺": (0, 0, 2, 0), "╻": (0, 0, 0, 2),
    }
)  # fmt: skip
_SHADES = MappingProxyType({"░": 0.25, "▒": 0.5, "▓": 0.75, "█": 1.0})
_BROKEN = frozenset("┄┈╌┅┉╍┆┊╎┇┋╏")
_QUARTERS = MappingProxyType(
    {"▖": "c", "▗": "d", "▘": "a", "▝": "b", "▙": "acd", "▚": "ad", "▛": "abc", "▜": "abd", "▞": "bc", "▟": "bcd"}
)
_QUARTER: Mapping[str, Box] = MappingProxyType(
    {"a": (0, 0, 0.5, 0.5), "b": (0.5, 0, 1, 0.5), "c": (0, 0.5, 0.5, 1), "d": (0.5, 0.5, 1, 1)}
)
_DOTS = ((0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3))


@functools.cache
def boxes_of(char: str) -> tuple[tuple[float, Box], ...]:
    """Return the rectangles that a drawing character is made of, each with how dense it is; none for a letter."""
    if len(char) != 1:
        return ()
    if char in _SHADES:
        return ((_SHADES[char], (0, 0, 1, 1)),)
    if char in _QUARTERS:
        return tuple((1.0, _QUARTER[part]) for part in _QUARTERS[char])
    if "\u2801" <= char <= "\u28ff":
        return _braille(ord(char) - 0x2800)
    if char in _ARMS:
        return _arms(char)
    return _block(ord(char))


def _braille(dots: int) -> tuple[tuple[float, Box], ...]:
    lit = (at for bit, at in enumerate(_DOTS) if dots >> bit & 1)
    return tuple((1.0, ((x * 0.5 + 0.15), y / 4 + 0.06, x * 0.5 + 0.4, y / 4 + 0.19)) for x, y in lit)


def _block(code: int) -> tuple[tuple[float, Box], ...]:
    if 0x2581 <= code <= 0x2588:  # from below, by eighths
        return ((1.0, (0, 1 - (code - 0x2580) / 8, 1, 1)),)
    if 0x2589 <= code <= 0x258F:  # from the left, by eighths
        return ((1.0, (0, 0, (0x2590 - code) / 8, 1)),)
    others: dict[int, Box] = {
        0x2580: (0, 0, 1, 0.5), 0x2590: (0.5, 0, 1, 1), 0x2594: (0, 0, 1, 0.125), 0x2595: (0.875, 0, 1, 1)
    }  # fmt: skip
    return ((1.0, others[code]),) if code in others else ()


def _arms(char: str) -> tuple[tuple[float, Box], ...]:
    left, up, right, down = ((0, _THIN, _HEAVY)[arm] for arm in _ARMS[char])
    half_x = max(up, down, _THIN) / 2
    half_y = max(left, right, _THIN) / 4  # a cell is twice as high as wide
    boxes: list[Box] = []
    if left:
        boxes.append((0, 0.5 - left / 4, 0.5 + half_x, 0.5 + left / 4))
    if right:
        boxes.append((0.5 - half_x, 0.5 - right / 4, 1, 0.5 + right / 4))
    if up:
        boxes.append((0.5 - up / 2, 0, 0.5 + up / 2, 0.5 + half_y))
    if down:
        boxes.append((0.5 - down / 2, 0.5 - half_y, 0.5 + down / 2, 1))
    if char in _BROKEN:
        boxes = [_shortened(box) for box in boxes]
    return tuple((1.0, box) for box in boxes)


def _shortened(box: Box) -> Box:
    left, top, right, bottom = box
    if right - left > bottom - top:
        return left + 0.1, top, right - 0.15, bottom
    return left, top + 0.1, right, bottom - 0.15


# --- letters ---------------------------------------------------------------------------------------------------------


@functools.cache
def _font(*, bold: bool) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    for name in _FONT_NAMES:
        wanted = f"{_BOLD_NAMES[name] if bold else name}.ttf"
        for folder in _FONT_FOLDERS:
            for file in sorted(folder.rglob(wanted)):
                return ImageFont.truetype(str(file), _FONT_SIZE)
    return ImageFont.load_default(_FONT_SIZE)


@functools.cache
def _letter(char: str, bold: bool) -> Image.Image:
    """A letter on a cell, two cells for a wide one."""
    from wcwidth import wcswidth

    width = _WIDTH * max(wcswidth(char), 1)
    mask = Image.new("L", (width, _HEIGHT), 0)
    font = _font(bold=bold)
    ImageDraw.Draw(mask).text((width / 2, _HEIGHT * 0.78), char, fill=255, font=font, anchor="ms")
    return mask
