"""Planning a gauge study: who, which instrument, which holes, how often."""

from typing import TYPE_CHECKING

from fieldlog.errors import QuantityError, StoreError
from fieldlog.records.machine import shown_name
from fieldlog.records.study import MOST_TRIALS, Study, parts_of
from fieldlog.tui.screens.form import Field, FormScreen

if TYPE_CHECKING:
    from fieldlog.tui.app import LogbookApp

_INTRO = (
    "Everybody measures the same holes again and again with one instrument. Take three to ten holes of the sizes "
    "you meet, also worn ones, off the machine or on a part that cannot fall; mark one line across each."
)
_FEWEST_HOLES = 2


def start_study(app: "LogbookApp") -> None:
    """Ask for the plan, write it, and ask for the first trial."""
    session = app.session
    calipers = tuple((item.id, shown_name(item)) for item in session.logbook.instruments if item.kind != "tape")
    if not calipers or not session.people():
        _say(app, "A gauge study needs a caliper and somebody who measures; a adds them.")
        return
    fields = (
        Field("instrument", "Instrument", calipers[0][0], "", calipers),
        Field("people", "People", ", ".join(person.id for person in session.people()),
              "Who takes part, with commas between.", required=True, check=lambda text: _check_people(app, text)),
        Field("holes", "Holes", "", "Names with commas between, such as: ring 20, ring 25, old eye.", required=True,
              check=_check_holes),
        Field("trials", "Times each", "3", f"2 to {MOST_TRIALS}; 3 is usual.", required=True, check=_check_trials,
              is_suggestion=True),
    )  # fmt: skip

    def keep(values: object) -> None:
        if not isinstance(values, dict):
            return
        from fieldlog.tui.screens.study import StudyScreen

        plan = Study("", session.today(), values["instrument"], values["people"], values["holes"],
                     int(values["trials"]))  # fmt: skip
        try:
            study = session.start_study(plan)
        except StoreError as error:
            _say(app, str(error))
            return
        app.push_screen(StudyScreen(study.id))

    app.push_screen(FormScreen("Gauge study", fields, _INTRO), keep)


def _say(app: "LogbookApp", sentence: str) -> None:
    from fieldlog.tui.screens.base import LogScreen

    if isinstance(app.screen, LogScreen):
        app.screen.say(sentence)


def _check_people(app: "LogbookApp", text: str) -> None:
    known = [person.id for person in app.session.people()]
    wrong = [name for name in parts_of(text) if name not in known]
    if wrong:
        there = ", ".join(known)
        raise QuantityError(f'"{wrong[0]}" is nobody in this logbook; there are: {there}. Esc, then a adds a person.')


def _check_holes(text: str) -> None:
    if len(parts_of(text)) < _FEWEST_HOLES:
        raise QuantityError("A study needs two holes or more: write their names with commas between.")


def _check_trials(text: str) -> None:
    if not text.isascii() or not text.isdigit() or not 2 <= int(text) <= MOST_TRIALS:
        raise QuantityError(f'"{text}": write a whole number from 2 to {MOST_TRIALS}.')
