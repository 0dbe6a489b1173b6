"""Doing a check of an instrument by a form, and striking one out; both stand in logbook.toml.

Planning a gauge study: who, which instrument, which holes, how often.
"""

from collections.abc import Callable, Mapping
from typing import cast

from fieldlog.errors import QuantityError, StoreError
from fieldlog.quantity.lengths import parse_length
from fieldlog.quantity.units import Units
from fieldlog.records.checks import MOST_TRIALS, Check, CheckKind, Study, check_words, parse_shown_list, parts_of
from fieldlog.records.machine import Instrument, shown_name
from fieldlog.standards.instruments import JAWLESS_KINDS, SLIP_MM, UNCHECKED_KINDS, is_slip
from fieldlog.store.amend import add_record, change_record
from fieldlog.store.files import LOGBOOK_FILE
from fieldlog.tui.actions.parts import written
from fieldlog.tui.base import Desk
from fieldlog.tui.form import Field, FormScreen
from fieldlog.words.speak import error_text

_INTRO = (
    "Wipe the jaws, close them, hold them to the light; then a known bore or pin, swung square. "
    "Several readings with blanks between; two or more bores of different sizes tell jaw width from offset."
)
_KINDS = (
    ("zero", "zero: it is closed"),
    ("known bore", "a known bore, inside"),
    ("known outside", "a known pin or gauge, outside"),
)


def do_check(app: Desk, instrument: Instrument) -> None:
    """Ask for a check of an instrument and write it down."""
    if instrument.kind in UNCHECKED_KINDS:
        app.notify_line("A tape or rule is not checked here; its class and the eye are in every length's doubt.")
        return
    units = instrument.resolution.family if instrument.resolution is not None else app.session.units

    def keep(values: object) -> None:
        if isinstance(values, dict):
            check = _check_from(app, values, instrument, units)
            written(app, lambda: add_record(app.session.folder, LOGBOOK_FILE, "checks", check))

    form = FormScreen(
        f"Check of {shown_name(instrument)}", _fields(instrument, units), _INTRO, _remark(app, instrument, units)
    )
    app.push_screen(form, keep)


def _fields(instrument: Instrument, units: Units) -> tuple[Field, ...]:
    kinds = tuple(kind for kind in _KINDS if kind[0] != "zero" or instrument.kind not in JAWLESS_KINDS)

    def readings(text: str) -> None:
        parse_shown_list(text, units)

    def length(text: str) -> None:
        parse_length(text, units)

    ring = "A new bearing's inner ring is 0 to 0.01 mm under its name: 19.995 within 0.005."
    return (
        Field("kind", "Checked on", kinds[0][0], "Left and right choose.", kinds),
        Field("readings", "It shows", "", f"Such as 0.00 0.01 -0.01, in {units} unless typed.", (), True, readings),
        Field("size", "Known size", "", f"Empty for zero. {ring}", check=length),
        Field("tolerance", "... known within", "", "Half its tolerance; empty: 0.01 mm.", check=length),
        Field("of", "What it is", "", "Such as bearing ring 6204, gauge pin."),
    )


def _check_from(app: Desk, values: Mapping[str, str], instrument: Instrument, units: Units) -> Check:
    kind = cast("CheckKind", values["kind"])
    is_sized = kind != "zero"
    return Check(
        instrument=instrument.id,
        date=app.session.today(),
        kind=kind,
        readings=parse_shown_list(values["readings"], units),
        size=parse_length(values["size"], units) if is_sized and values["size"] else None,
        tolerance=parse_length(values["tolerance"], units) if is_sized and values["tolerance"] else None,
        of=values["of"],
        by=app.session.last_person(),
    )


def _remark(app: Desk, instrument: Instrument, units: Units) -> Callable[[Mapping[str, str]], str]:
    def remark(values: Mapping[str, str]) -> str:
        try:
            check = _check_from(app, values, instrument, units)
        except QuantityError as error:
            return error_text(error)
        if check.kind != "zero" and (check.size is None or check.size.mm <= 0):
            return f"A {check.kind} needs its known size; without it this check is not used."
        width = instrument.jaw_width
        if check.kind == "known bore" and width is not None and check.size is not None and width.mm >= check.size.mm:
            return f"Inside jaws {width.typed} wide do not go into a bore of {check.size.typed}."
        if is_slip(check):
            return (
                f"That is {abs(check.deviation_mm):.2f} mm off, over {SLIP_MM:g} mm: a slip of the unit or a finger? "
                "A check that far off is not used."
            )
        return ""

    return remark


def strike_check(app: Desk, check: Check) -> None:
    """Ask for the reason and strike a check out, or take its strike back."""
    title = f"{'Keep after all' if check.struck else 'Strike out'}: {check_words(check)}"
    hint = "Enter keeps it again." if check.struck else "It stays on file, struck, with this reason."
    field = Field("why", "Why", "" if not check.struck else "it was right", hint, required=True)

    def keep(values: object) -> None:
        if isinstance(values, dict):
            why = None if check.struck else values["why"]
            written(app, lambda: change_record(app.session.folder, LOGBOOK_FILE, "checks", check, {"struck": why}))

    app.push_screen(FormScreen(title, (field,)), keep)


_STUDY_INTRO = (
    "Everybody measures the same holes again and again with one instrument. Take three to ten holes of the sizes "
    "you meet, also worn ones, off the machine or on a part that cannot fall; mark one line across each."
)
_FEWEST_HOLES = 2


def start_study(app: Desk, then: Callable[[str], None]) -> None:
    """Ask for the plan and write it; then go on with its id."""
    session = app.session
    calipers = tuple((item.id, shown_name(item)) for item in session.logbook.instruments if item.kind != "tape")
    if not calipers or not session.people():
        app.notify_line("A gauge study needs a caliper and somebody who measures; a adds them.")
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
        plan = Study("", session.today(), values["instrument"], values["people"], values["holes"],
                     int(values["trials"]))  # fmt: skip
        try:
            study = session.start_study(plan)
        except StoreError as error:
            app.notify_line(error_text(error))
        else:
            then(study.id)

    app.push_screen(FormScreen("Gauge study", fields, _STUDY_INTRO), keep)


def _check_people(app: Desk, text: str) -> None:
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
