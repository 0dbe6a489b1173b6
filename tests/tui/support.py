"""The app over a logbook, its screen as text, and waiting for what a test is about to assert."""

import datetime
import time
from collections.abc import Callable
from pathlib import Path

from textual.pilot import Pilot

from fieldlog.pages.lines import in_ascii
from fieldlog.tui.app import LogbookApp

PATIENCE_S = 40.0


def app_over(folder: Path | None, home: Path | None = None) -> LogbookApp:
    """The app, plain ASCII so that screens can be compared as text."""
    return LogbookApp(folder, new_folder=home or Path("unused"), ascii_only=True)


async def until(pilot: Pilot[int], condition: Callable[[], bool]) -> None:
    """Wait for a condition, never for a time."""
    end = time.monotonic() + PATIENCE_S
    while not condition():
        assert time.monotonic() < end, f"waited in vain; the screen shows:\n{screen_text(pilot)}"
        await pilot.pause(0.01)


def screen_text(pilot: Pilot[int]) -> str:
    """Everything on the screen as plain text."""
    screen = pilot.app.screen
    width, height = pilot.app.size
    rows = [[" "] * width for _ in range(height)]
    for y, strip in enumerate(screen._compositor.render_strips()):
        text = strip.text[:width].ljust(width)
        if y < height:  # while a window is resized, the lines are still those of the old one
            rows[y] = list(text)
    return "\n".join("".join(row).rstrip() for row in rows)


async def see(pilot: Pilot[int], *words: str) -> str:
    """Wait until all the words are on the screen, broken over lines or not; return its text."""
    await until(pilot, lambda: all(_is_in(word, screen_text(pilot)) for word in words))
    return screen_text(pilot)


def _is_in(word: str, text: str) -> bool:
    plain = in_ascii(word)  # as the app of these tests shows it
    return plain in text or plain in " ".join(text.split())


async def type_in(pilot: Pilot[int], *texts: str) -> None:
    """Type each text and press Enter after it, as a caliper that types does."""
    for text in texts:
        await pilot.press(*text, "enter")


def round_text(folder: Path, machine: str = "grey") -> str:
    """What stands in today's round file."""
    files = sorted((folder / machine / "rounds").glob("*.toml"))
    return files[-1].read_text(encoding="utf-8") if files else ""


def today() -> datetime.date:
    """The date of this computer."""
    return datetime.datetime.now().astimezone().date()
