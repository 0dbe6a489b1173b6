"""The hitch on a screen: the picture, what can be changed, and what follows, laid out for the width there is."""

from dataclasses import dataclass
from itertools import zip_longest

from fieldlog.records.quantities import Units
from fieldlog.report.hitch_picture import Frame, picture_lines
from fieldlog.report.hitch_words import (
    both_lengths,
    degrees,
    doubtful_degrees,
    length_text,
    pitch_word,
    plus_minus_text,
    reach_text,
    roll_word,
    room_span,
    shaft_text,
    top_link_text,
    worst_span,
)
from fieldlog.report.lines import Line, Span, fit, line, short, wrapped
from fieldlog.retrofit.clearances import nearest_of_each
from fieldlog.retrofit.driveline import Shaft
from fieldlog.retrofit.field_look import FieldLook, NeedLook
from fieldlog.retrofit.forces import TopLinkForces
from fieldlog.retrofit.look import Look
from fieldlog.retrofit.plane import CannotReach
from fieldlog.retrofit.setup import HitchSetup, Setting, usual_names
from fieldlog.retrofit.steps import KNOB_WORDS, Knob, knobs, name_of

CAUTION = "PTO off and nobody near when you try it; the manual wins."
_SIDE_WIDTH = 33
_BESIDE_FROM = 74  # columns from which picture and numbers stand side by side
_PICTURE_FROM = 50  # fewer columns than this hold no picture
_LABEL = 14
_LEAST_ROWS = 5


@dataclass(frozen=True, slots=True)
class Page:
    """What is shown: a look, the link's whole field and the need, the chosen knob, and the picture's frame."""

    look: Look
    field: FieldLook | CannotReach | None
    need: NeedLook | None
    knob: Knob
    frame: Frame


def page_lines(page: Page, units: Units, width: int, height: int, *, ascii_only: bool = False) -> tuple[Line, ...]:
    """Return the page for a window: never more than `height` lines, the caution last and always there."""
    caution = wrapped(CAUTION, width, "", "dim")
    if width < _PICTURE_FROM:
        text = (*_knob_lines(page, units, width), Line(), *_answers(page.look, width))[: max(height - len(caution), 0)]
        below = _whole(_below(page, units, width), height - len(text) - len(caution))
        return (*text, *below, *caution)
    if width >= _BESIDE_FROM:
        side = (*_knob_lines(page, units, _SIDE_WIDTH), Line(), *_answers(page.look, _SIDE_WIDTH))
        below = _whole(_below(page, units, width), height - len(caution) - len(side))
        rows = max(min(height - len(caution) - len(below), width // 4), len(side))
        picture = picture_lines(page.look, page.frame, width - _SIDE_WIDTH - 1, rows, ascii_only=ascii_only)
        beside = _beside(picture, side, width - _SIDE_WIDTH)
        return (*beside, *below, *caution)
    half = width // 2
    columns = _beside(_knob_lines(page, units, half - 1), _answers(page.look, half), half)
    room = max(height - len(caution) - len(columns), 0)
    below = _whole(_below(page, units, width), room - _LEAST_ROWS)
    picture = picture_lines(page.look, page.frame, width, room - len(below), ascii_only=ascii_only)
    return (*picture, *columns, *below, *caution)


def _beside(left: tuple[Line, ...], right: tuple[Line, ...], at: int) -> tuple[Line, ...]:
    """Return two columns, the right one beginning at a column."""
    pairs = zip_longest(left, right, fillvalue=Line())
    return tuple(Line((*a.spans, Span(" " * max(at - len(a.text), 0)), *b.spans)) for a, b in pairs)


def _knob_lines(page: Page, units: Units, width: int) -> tuple[Line, ...]:
    look = page.look
    return tuple(
        _knob_line(look.setup, look.setting, knob, page.knob == knob, units, width) for knob in knobs(look.setup)
    )


def _answers(look: Look, width: int) -> tuple[Line, ...]:
    return (*_pitch_lines(look, width), *_roll_lines(look, width))


def _knob_line(setup: HitchSetup, setting: Setting, knob: Knob, is_chosen: bool, units: Units, width: int) -> Line:
    mark = "strong" if is_chosen else ""
    label = fit(KNOB_WORDS[knob], _LABEL)
    room = width - _LABEL - 2
    value = knob_value(setup, setting, knob, units)
    for cut in (" (", ","):
        value = value.partition(cut)[0] if len(value) > room else value
    return line(Span(f"{'> ' if is_chosen else '  '}{label}", mark), Span(short(value, room), mark))


def knob_value(setup: HitchSetup, setting: Setting, knob: Knob, units: Units) -> str:
    """Return what a knob stands at."""
    match knob:
        case "height":
            return both_lengths(setting.height_mm, units)
        case "top link":
            return both_lengths(setting.top_link_mm, units)
        case "rod":
            return both_lengths(setting.rod_mm, units)
        case "top hole":
            return name_of(setup.top_holes, setting.top_hole)
        case "mast hole":
            mast = setup.mast_holes[setting.mast_hole]
            return f"{length_text(mast.figures['mast'].mm, units)}, {mast.name.removesuffix(' hole')}"
        case "rod hole":
            return name_of(setup.rod_holes, setting.rod_hole)
        case _:
            return setup.ranges[setting.link].name if setup.ranges else "none taped"


def _pitch_lines(look: Look, width: int) -> tuple[Line, ...]:
    if isinstance(look.pitch, CannotReach):
        return wrapped(f"pitch (fore-aft): {look.pitch.sentence()}", width, "", "warn")
    rate = ""
    if isinstance(look.pitch_rate, float):
        rate = f", {degrees(look.pitch_rate * 10)} deg a cm of link"
    return (
        line(Span("pitch (fore-aft)", "dim")),
        line(Span(f"  {doubtful_degrees(look.pitch)}", "strong")),
        line(short(f"  {pitch_word(look.pitch.value)}{rate if width > 45 else ''}", width)),
    )


def _roll_lines(look: Look, width: int) -> tuple[Line, ...]:
    if isinstance(look.roll, CannotReach):
        return wrapped(f"roll (side to side): {look.roll.sentence()}", width, "", "warn")
    return (
        line(Span("roll (side to side)", "dim")),
        line(Span(f"  {doubtful_degrees(look.roll)}", "strong")),
        line(short(f"  {roll_word(look.roll.value)}", width)),
    )


def _whole(pieces: list[tuple[Line, ...]], room: int) -> tuple[Line, ...]:
    """Return as many pieces as fit, each whole, in their order."""
    rows: list[Line] = []
    for piece in pieces:
        if len(rows) + len(piece) <= room:
            rows += piece
    return tuple(rows)


def _below(page: Page, units: Units, width: int) -> list[tuple[Line, ...]]:
    """Return what is said under the picture, piece by piece, most important first."""
    look = page.look
    usual = usual_names(look.figures)
    pieces: list[tuple[Line, ...]] = [(_usual_line(usual, look.setup, width),)] if usual else []
    pieces += [_rooms(look, units, width), *((row,) for row in _field_lines(page.field, units, width))]
    if isinstance(look.shaft, Shaft):
        pieces.append(wrapped(f"{shaft_text(look.shaft, units)}.", width))
    pieces.append(_need_lines(page.need, units, width))
    if isinstance(look.top_link, TopLinkForces):
        pieces.append(wrapped(f"{top_link_text(look.top_link, units)}.", width))
    return pieces


def _usual_line(usual: tuple[str, ...], setup: HitchSetup, width: int) -> Line:
    count = f"{len(usual)} figure{'' if len(usual) == 1 else 's'}"
    words = f"Not measured, usual for category {setup.category}: {count}, such as {usual[0]}"
    return line(Span(short(words, width), "warn"))


def _rooms(look: Look, units: Units, width: int) -> tuple[Line, ...]:
    if not look.setup.points:
        name = (
            (look.setup.implement.name or look.setup.implement.id)
            if look.setup.implement is not None
            else "No implement"
        )
        return wrapped(f"{name}: no corners written down, so no clearances. c adds them.", width, "", "dim")
    if isinstance(look.pose, CannotReach):
        return wrapped(f"{reach_text(look.pose)}.", width, "", "warn")
    near = nearest_of_each(look.rooms)
    rest = [Span(f"{clear.obstacle} {length_text(clear.room_mm, units)}") for clear in near[1:]]
    return (line(Span("Here: ", "dim"), short(_together(room_span(near[0], units), rest), width - 6)),)


def _together(first: Span, rest: list[Span]) -> str:
    return ", ".join(span.text for span in (first, *rest))


def _field_lines(field: FieldLook | CannotReach | None, units: Units, width: int) -> tuple[Line, ...]:
    if field is None:
        return wrapped("Tape the top link closed and open (m), and all it can do is searched.", width, "", "dim")
    if isinstance(field, CannotReach):
        return wrapped(f"{reach_text(field)}.", width, "", "warn")
    if not field.least:
        return ()
    worst = [worst_span(found, units, doubt) for found, doubt in zip(field.least, field.doubts_mm, strict=True)]
    return tuple(
        line(Span("Worst: " if number == 0 else "       ", "dim"), Span(short(span.text, width - 7), span.mark))
        for number, span in enumerate(worst)
    )


def _need_lines(need: NeedLook | None, units: Units, width: int) -> tuple[Line, ...]:
    if need is None:
        return ()
    if isinstance(need.need, CannotReach):
        return wrapped(f"The pitch wanted: {need.need.sentence()}.", width, "", "warn")
    if isinstance(need.shortest, CannotReach) or isinstance(need.longest, CannotReach):
        return ()
    text = (
        f"{abs(need.need.down_deg):g} deg nose down to {need.need.up_deg:g} up needs link "
        f"{plus_minus_text(need.shortest, units)} to {plus_minus_text(need.longest, units)}."
    )
    return wrapped(text, width)
