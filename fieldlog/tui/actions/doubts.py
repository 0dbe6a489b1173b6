"""Striking a reading out, taking a strike back, or keeping a reading that stands apart; always with a reason."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from fieldlog.errors import FieldlogError
from fieldlog.records.entries import AnyEntry, Keep
from fieldlog.report.entry_view import entry_words, strike_reasons
from fieldlog.tui.screens.form import Field, FormScreen

if TYPE_CHECKING:
    from fieldlog.tui.app import LogbookApp

_STAYS = "It stays on file, struck, with this reason."
_TAKEN_BACK = "The strike is struck; both stay on file."


def strike_or_keep(
    app: "LogbookApp", machine_id: str, entry: AnyEntry, *, is_marked: bool, done: Callable[[str], None]
) -> None:
    """Ask what is to be done with an entry and why, write it down, and call `done` with an error or nothing.

    A reading that stands apart can be struck or kept; one that is kept can be struck, or its keep taken back.
    """
    log = app.session.log(machine_id)
    keep = next((keep for keep in log.standing(Keep) if keep.target == entry.key), None)
    is_struck = entry.key in log.struck
    choice = () if is_struck else _choice(keep, is_marked=is_marked)
    title = "Keep after all" if is_struck else "Strike or keep" if choice else "Strike out"

    def write(values: object) -> None:
        if not isinstance(values, dict):
            return
        try:
            if values.get("deed") == "keep":
                app.session.keep(machine_id, entry, values["why"])
            elif values.get("deed") == "take back" and keep is not None:
                app.session.strike(machine_id, keep, values["why"])
            else:
                target = strike_reasons(log.entries, log.struck)[entry.key] if is_struck else entry
                app.session.strike(machine_id, target, values["why"])
        except FieldlogError as error:
            done(str(error))
        else:
            done("")

    why = Field("why", "Why", "", _TAKEN_BACK if is_struck else _STAYS, required=True)
    app.push_screen(FormScreen(f"{title}: {entry_words(entry)}", (*choice, why)), write)


def _choice(keep: Keep | None, *, is_marked: bool) -> tuple[Field, ...]:
    """Return the question what to do, where there is more than one thing to do."""
    if keep is not None:
        choices = (
            ("strike", "strike the reading out"),
            ("take back", "take the keep back; it is marked again"),
        )
        return (Field("deed", "What", "strike", f"Kept: {keep.why}", choices),)
    if is_marked:
        hint = "Measured again and it was wrong: strike it. Looked at and it is so: keep it, and say why."
        choices = (("strike", "strike the reading out"), ("keep", "keep it, and mark it no more"))
        return (Field("deed", "What", "strike", hint, choices),)
    return ()
