"""The line that sizes are typed on: flat, without a blinking cursor, and never in the way of single keys."""

from textual import events
from textual.message import Message
from textual.widgets import Input


class EntryLine(Input):
    """A one-row input. A letter typed while it is empty is a command for the screen, not text.

    Enter arrives as ctrl+j when it was pressed before the terminal was in raw mode; both submit. A paste of
    several lines is taken as several Enters, so that a list of readings can be dropped in whole.
    """

    DEFAULT_CSS = """
    EntryLine { border: none; height: 1; padding: 0; background: ansi_default; color: ansi_default; }
    EntryLine:focus { border: none; background: ansi_default; }
    EntryLine > .input--cursor { text-style: reverse; background: ansi_default; color: ansi_default; }
    EntryLine > .input--selection { text-style: underline; background: ansi_default; color: ansi_default; }
    EntryLine > .input--placeholder { text-style: dim; background: ansi_default; color: ansi_default; }
    """

    class Pressed(Message):
        """A single key that is a command was pressed on the empty line."""

        def __init__(self, key: str) -> None:
            self.key = key
            super().__init__()

    def __init__(self, value: str = "", *, commands: str = "", id: str | None = None) -> None:  # noqa: A002 -- Textual's name
        super().__init__(value, select_on_focus=False, id=id)
        self.commands = commands
        self.cursor_blink = False

    async def _on_key(self, event: events.Key) -> None:
        if event.key == "ctrl+j":
            event.stop()
            event.prevent_default()
            await self.action_submit()
            return
        if not self.value and event.character and event.character in self.commands:
            event.stop()
            event.prevent_default()
            self.post_message(self.Pressed(event.character))
            return
        await super()._on_key(event)

    def _on_paste(self, event: events.Paste) -> None:
        event.stop()
        event.prevent_default()
        rows = [row.strip() for row in event.text.splitlines() if row.strip()]
        for row in rows[:-1]:
            self.post_message(self.Submitted(self, self.value + row))
            self.value = ""
        if rows:
            self.insert_text_at_cursor(rows[-1])
