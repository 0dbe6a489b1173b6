"""The hitch's numbers in the trade's words: pitch is fore-aft, roll is side to side, and each says which way.

The hitch on a screen: the picture, what can be changed, and what follows, laid out for the width there is.
"""

from dataclasses import dataclass, replace
from itertools import zip_longest

from fieldlog.pages.figures import shown_in
from fieldlog.pages.hitch_behind import behind_lines, behind_sentences
from fieldlog.pages.hitch_picture import LEAST_ROWS, Frame, picture_lines, side_sentences
from fieldlog.pages.lines import Line, Span, fit, line, short, wrapped
from fieldlog.quantity.rounding import mm_text, other_units, places_for
from fieldlog.quantity.rounding import plus_minus_text as value_and_doubt
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.retrofit.hitch.clearances import Clearance, Worst, nearest_of_each
from fieldlog.retrofit.hitch.field import FieldLook, NeedLook
from fieldlog.retrofit.hitch.forces import AngleWord, Shaft, ShaftSize, Slip, TopLinkForces, TopLinkSizes, angle_word
from fieldlog.retrofit.hitch.look import Knob, Look, knobs, name_of
from fieldlog.retrofit.hitch.plane import CannotReach
from fieldlog.retrofit.hitch.setup import HitchSetup, Setting, usual_names
from fieldlog.words.hitch import KNOBS
from fieldlog.words.speak import say

_LEVEL_DEG = 0.05
_PTO_WORDS: dict[AngleWord, str] = {
    "good": "good to run",
    "allowed": "the most for steady work",
    "PTO off": "PTO off here",
    "too much": "too much for any joint",
}


def length_text(mm: float, units: Units) -> str:
    """Return a length to a whole mm or a hundredth of an inch."""
    return mm_text(mm, units, 0 if units == "mm" else 2)


def both_lengths(mm: float, units: Units) -> str:
    """Return a length in both units, the person's own first."""
    return f"{length_text(mm, units)} ({length_text(mm, other_units(units))})"


def range_text(low_mm: float, high_mm: float, units: Units) -> str:
    """Return '590 to 718 mm'."""
    return f"{length_text(low_mm, units).removesuffix(f' {units}')} to {length_text(high_mm, units)}"


def plus_minus_text(found: Value, units: Units) -> str:
    """Return a length with its doubt: '590 ± 5 mm'."""
    value, doubt = (mm_text(mm, units, 0 if units == "mm" else 1) for mm in (found.value, found.plus_minus))
    return f"{value.removesuffix(f' {units}')} ± {doubt}"


def sure_length(size: Value, units: Units) -> str:
    """Return a length with its doubt where there is one."""
    if size.plus_minus <= 0:
        return length_text(size.value, units)
    shown = shown_in("mm", units)[0]
    value, doubt = size.value * shown.factor, size.plus_minus * shown.factor
    return f"{value_and_doubt(value, doubt, 1 if units == 'mm' else 2)} {units}"


def sure_degrees(size: Value, places: int = 1) -> str:
    """Return degrees or percent to a tenth with the doubt where there is one."""
    if size.plus_minus > 0:
        return value_and_doubt(size.value, size.plus_minus, places)
    return degrees(size.value, places)


def degrees(value: float, places: int = 1) -> str:
    """Return degrees to a tenth, without a minus before nought."""
    text = f"{value:.{places}f}"
    return text.lstrip("-") if not text.strip("-0.") else text


def doubtful_degrees(found: Value) -> str:
    """Return '-13.6 ± 0.9 deg', the digits following the doubt but never finer than a tenth."""
    places = min(places_for(found.plus_minus, 1), 1)
    value = f"{found.value:.{places}f}"
    value = value.lstrip("-") if not value.strip("-0.") else value
    return f"{value} ± {max(found.plus_minus, 10.0**-places):.{places}f} deg"


def pitch_word(pitch_deg: float) -> str:
    """Return which way the implement leans fore-aft."""
    if abs(pitch_deg) < _LEVEL_DEG:
        return "mast upright"
    return "nose up, tail down" if pitch_deg > 0 else "nose down, tail up"


def roll_word(roll_deg: float) -> str:
    """Return which way the implement rolls: the changed rod's side up or down."""
    if abs(roll_deg) < _LEVEL_DEG:
        return "level"
    return "that rod's side up" if roll_deg > 0 else "that rod's side down"


def reach_text(found: CannotReach, units: Units) -> str:
    """Return a miss as a sentence's beginning."""
    text = say(found.said, units)
    return f"{text[:1].upper()}{text[1:]}"


def room_span(clear: Clearance, units: Units, where: str = "", room: Value | None = None) -> Span:
    """Return 'tyre only 96 mm from frame corner', marked when less than is wanted."""
    size = length_text(abs(clear.room_mm), units)
    if room is not None and room.plus_minus > 0:
        size = plus_minus_text(replace(room, value=abs(clear.room_mm)), units)
    if clear.obstacle == "ground":
        text = f"{clear.point} {size} {'under' if clear.room_mm < 0 else 'over'} ground{where}"
        return Span(text, "warn" if clear.room_mm < 0 else "")
    if clear.room_mm < 0:
        return Span(f"{clear.point} {size} inside the {clear.obstacle}{where}", "stop")
    if clear.spare_mm < 0:
        return Span(f"{clear.obstacle} only {size} from {clear.point}{where}", "warn")
    return Span(f"{clear.obstacle} {size} from {clear.point}{where}")


def worst_span(worst: Worst, units: Units, room: Value) -> Span:
    """Return the least room of a field, its doubt, and where it is."""
    link, balls = length_text(worst.length_mm, units), length_text(worst.height_mm, units)
    where = f" at link {link.removesuffix(f' {units}')}, balls {balls}"
    return room_span(worst.clearance, units, where, room)


def force_text(force: Value, units: Units) -> str:
    """Return a force without its way: in kN beside millimetres, in lbf beside inches; its doubt where there is one."""
    shown = shown_in("kN", units)[0]
    value, doubt, places = abs(force.value) * shown.factor, force.plus_minus * shown.factor, 1 if units == "mm" else 0
    return f"{value_and_doubt(value, doubt, places) if doubt > 0 else f'{value:.{places}f}'} {shown.unit}"


def top_link_text(forces: TopLinkSizes, units: Units) -> str:
    """Return what the top link carries, and whether the load reverses."""
    way = "pull" if forces.carried.value >= 0 else "push"
    text = f"Top link {force_text(forces.carried, units)} {way}"
    if not forces.reverses:
        return f"{text}, carried"
    low, high = (force_text(pick(forces, key=lambda one: one.value), units) for pick in (min, max))
    return f"{text}; with the ground's push {high.rpartition(' ')[0]} pull to {low} push: {reversal_word(forces)}"


def reversal_word(forces: TopLinkSizes) -> str:
    """Return whether the load reverses, or may, where the smaller force is within its own doubt."""
    return "reverses" if forces.surely_reverses else "may reverse"


def shaft_text(shaft: ShaftSize, units: Units) -> str:
    """Return the PTO shaft at one position."""
    places = 1 if shaft.length.terms else 0
    near, far = (sure_degrees(angle, places) for angle in (shaft.tractor, shaft.implement))
    word = _PTO_WORDS[angle_word(shaft.steepest_deg)]
    return f"PTO shaft {sure_length(shaft.length, units)}, joints {near} and {far} deg: {word}"


def slip_text(slip: Slip, takes_up: Value, steepest: Value, units: Units) -> str:
    """Return what the shaft must take up over all lengths and heights."""
    return (
        f"Over every length and height: shaft {range_text(slip.shortest_mm, slip.longest_mm, units)}, "
        f"{sure_length(takes_up, units)} of slip, joints up to {sure_degrees(steepest)} deg"
    )


CAUTION = "PTO off and nobody near when you try it; the manual wins."
_SIDE_WIDTH = 33
_BESIDE_FROM = 74  # columns from which picture and numbers stand side by side
_PICTURE_FROM = 50  # fewer columns than this hold no picture
_LABEL = 14
_BESIDE_PICTURE = 2  # rows of words that a picture over them must leave room for


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
        text = (*_knob_lines(page, units, width), Line(), *_answers(page.look, units, width))[
            : max(height - len(caution), 0)
        ]
        below = _whole(_below(page, units, width), height - len(text) - len(caution))
        return (*text, *below, *caution)
    if width >= _BESIDE_FROM:
        side = (*_knob_lines(page, units, _SIDE_WIDTH), Line(), *_answers(page.look, units, _SIDE_WIDTH))
        below = _whole(_below(page, units, width), height - len(caution) - len(side))
        rows = max(min(height - len(caution) - len(below), width // 4), len(side))
        picture = _picture(page, units, width - _SIDE_WIDTH - 1, rows, ascii_only=ascii_only)
        beside = _beside(picture, side, width - _SIDE_WIDTH)
        return (*beside, *below, *caution)
    half = width // 2
    columns = _beside(_knob_lines(page, units, half - 1), _answers(page.look, units, half), half)
    room = max(height - len(caution) - len(columns), 0)
    told = () if room >= LEAST_ROWS + _BESIDE_PICTURE else _told(page, units, width)
    below = _whole(_below(page, units, width), room - (len(told) or LEAST_ROWS))
    picture = told or _picture(page, units, width, room - len(below), ascii_only=ascii_only)
    return (*picture, *columns, *below, *caution)


def _picture(page: Page, units: Units, columns: int, rows: int, *, ascii_only: bool) -> tuple[Line, ...]:
    """Return the hitch from behind while one lift rod is tried, else from the side."""
    if page.knob == "rod":
        return behind_lines(page.look, columns, rows, units, ascii_only=ascii_only)
    return picture_lines(page.look, page.frame, columns, rows, units, ascii_only=ascii_only)


def _told(page: Page, units: Units, width: int) -> tuple[Line, ...]:
    """Return what the picture would show, where there is no room for it."""
    said = behind_sentences(page.look, units) if page.knob == "rod" else side_sentences(page.look, units)
    return wrapped(" ".join(said), width)


def _beside(left: tuple[Line, ...], right: tuple[Line, ...], at: int) -> tuple[Line, ...]:
    """Return two columns, the right one beginning at a column."""
    pairs = zip_longest(left, right, fillvalue=Line())
    return tuple(Line((*a.spans, Span(" " * max(at - len(a.text), 0)), *b.spans)) for a, b in pairs)


def _knob_lines(page: Page, units: Units, width: int) -> tuple[Line, ...]:
    look = page.look
    return tuple(
        _knob_line(look.setup, look.setting, knob, page.knob == knob, units, width) for knob in knobs(look.setup)
    )


def _answers(look: Look, units: Units, width: int) -> tuple[Line, ...]:
    return (*_pitch_lines(look, units, width), *_roll_lines(look, units, width))


def _knob_line(setup: HitchSetup, setting: Setting, knob: Knob, is_chosen: bool, units: Units, width: int) -> Line:
    mark = "strong" if is_chosen else ""
    label = fit(KNOBS[knob], _LABEL)
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


def _pitch_lines(look: Look, units: Units, width: int) -> tuple[Line, ...]:
    if isinstance(look.pitch, CannotReach):
        return wrapped(f"pitch (fore-aft): {say(look.pitch.said, units)}", width, "", "warn")
    rate = ""
    if isinstance(look.pitch_rate, float):
        rate = f", {degrees(look.pitch_rate * 10)} deg a cm of link"
    return (
        line(Span("pitch (fore-aft)", "dim")),
        line(Span(f"  {doubtful_degrees(look.pitch)}", "strong")),
        line(short(f"  {pitch_word(look.pitch.value)}{rate if width > 45 else ''}", width)),
    )


def _roll_lines(look: Look, units: Units, width: int) -> tuple[Line, ...]:
    if isinstance(look.roll, CannotReach):
        return wrapped(f"roll (side to side): {say(look.roll.said, units)}", width, "", "warn")
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
        pieces.append(wrapped(f"{shaft_text(look.shaft.exactly, units)}.", width))
    pieces.append(_need_lines(page.need, units, width))
    if isinstance(look.top_link, TopLinkForces):
        pieces.append(wrapped(f"{top_link_text(look.top_link.exactly, units)}.", width))
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
        return wrapped(f"{reach_text(look.pose, units)}.", width, "", "warn")
    near = nearest_of_each(look.rooms)
    rest = [Span(f"{clear.obstacle} {length_text(clear.room_mm, units)}") for clear in near[1:]]
    return (line(Span("Here: ", "dim"), short(_together(room_span(near[0], units), rest), width - 6)),)


def _together(first: Span, rest: list[Span]) -> str:
    return ", ".join(span.text for span in (first, *rest))


def _field_lines(field: FieldLook | CannotReach | None, units: Units, width: int) -> tuple[Line, ...]:
    if field is None:
        return wrapped("Tape the top link closed and open (m), and all it can do is searched.", width, "", "dim")
    if isinstance(field, CannotReach):
        return wrapped(f"{reach_text(field, units)}.", width, "", "warn")
    if not field.least:
        return ()
    worst = [worst_span(found, units, room) for found, room in zip(field.least, field.rooms, strict=True)]
    return tuple(
        line(Span("Worst: " if number == 0 else "       ", "dim"), Span(short(span.text, width - 7), span.mark))
        for number, span in enumerate(worst)
    )


def _need_lines(need: NeedLook | None, units: Units, width: int) -> tuple[Line, ...]:
    if need is None:
        return ()
    if isinstance(need.need, CannotReach):
        return wrapped(f"The pitch wanted: {say(need.need.said, units)}.", width, "", "warn")
    if isinstance(need.shortest, CannotReach) or isinstance(need.longest, CannotReach):
        return ()
    text = (
        f"{abs(need.need.down_deg):g} deg nose down to {need.need.up_deg:g} up needs link "
        f"{plus_minus_text(need.shortest, units)} to {plus_minus_text(need.longest, units)}."
    )
    return wrapped(text, width)
