"""Forces and PTO shaft among a hitch's numbers, each with its doubt.

All the numbers of a hitch with an implement on it, as a page to walk down and as the printed report's section.

The hitches in the printed report.
"""

from collections.abc import Sequence

from fieldlog.pages.hitch import (
    both_lengths,
    degrees,
    doubtful_degrees,
    force_text,
    length_text,
    pitch_word,
    plus_minus_text,
    range_text,
    reach_text,
    reversal_word,
    room_span,
    shaft_text,
    slip_text,
    sure_degrees,
    sure_length,
    top_link_text,
    worst_span,
)
from fieldlog.pages.lines import BLANK, Line, Span, heading, line, wrapped
from fieldlog.quantity.page_number import Number, Texts, page_numbers
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value
from fieldlog.records.machine import shown_name
from fieldlog.retrofit.hitch.clearances import WANTED_MM
from fieldlog.retrofit.hitch.field import CORNER_NAMES, CornerLook, FieldLook, HitchCase, NeedLook, TiltNeed, tilt_need
from fieldlog.retrofit.hitch.forces import BOUNCE, OVERLAP_MM, ROOM_MM, ShaftSize, TopLinkSizes, lift_share
from fieldlog.retrofit.hitch.lift import Levelling
from fieldlog.retrofit.hitch.look import Look
from fieldlog.retrofit.hitch.numbers import HitchNumbers
from fieldlog.retrofit.hitch.page_numbers import hitch_numbers
from fieldlog.retrofit.hitch.plane import CannotReach, Point, pitch_deg, with_top_link
from fieldlog.retrofit.hitch.setup import usual_names
from fieldlog.words.hitch import FORMULAS
from fieldlog.words.speak import say

How = tuple[Units, HitchNumbers]


def force_lines(look: Look, width: int, how: How) -> tuple[Line, ...]:
    """Return the forces in top link and lift rods, and what the hitch lifts."""
    units, known = how
    rows: list[Line] = [BLANK, heading("Forces, carried and standing still")]
    if look.top_link is None:
        words = "Write the implement's weight and where its centre of gravity is: then the forces are known."
        return (*rows, *wrapped(words, width, "", "dim"))
    if isinstance(look.top_link, CannotReach) or "top link carried" not in known:
        return (*rows, *wrapped(f"{reach_text(known.refusal('top link carried'), units)}.", width, "", "warn"))
    forces = _top_link(known)
    rows += wrapped(f"{top_link_text(forces, units)}.", width)
    if forces.reverses:
        rows += wrapped(f"The load {reversal_word(forces)}, so both directions must be held.", width, "", "strong")
    if "lift rods" in known:
        both, each = (force_text(known.value("lift rods") / n, units) for n in (1, 2))
        rows += wrapped(f"Lift rods {both} together, {each} each.", width)
    rows += wrapped(f"A road bounce makes about {BOUNCE:g} times this of it, two to three.", width, "", "dim")
    if "lifts" in known:
        share = sure_degrees(known.value("lifts"))
        rows += wrapped(
            f"At 610 mm (24 in) behind the balls it lifts {share} % of what it lifts at the balls "
            "when they are lowest.",
            width,
        )
    return tuple(rows)


def _top_link(known: HitchNumbers) -> TopLinkSizes:
    """Return the top link's three forces; without a push along the ground they are one."""
    carried = known.value("top link carried")
    pushes = ("top link, pushed forward", "top link, pushed back")
    forward, back = (known.value(one) if one in known else carried for one in pushes)
    return TopLinkSizes(carried, forward, back)


def shaft_lines(look: Look, field: FieldLook | CannotReach | None, how: How, width: int) -> tuple[Line, ...]:
    """Return the PTO shaft here and over the whole field; nothing without one."""
    units, known = how
    if look.shaft is None:
        return ()
    rows: list[Line] = [BLANK, heading("PTO shaft")]
    if isinstance(look.shaft, CannotReach):
        return (*rows, *wrapped(f"{reach_text(look.shaft, units)}.", width, "", "warn"))
    shaft = ShaftSize(*(known.value(one) for one in ("PTO shaft", "PTO, tractor's joint", "PTO, implement's joint")))
    rows += wrapped(f"{shaft_text(shaft, units)}.", width)
    if "PTO, unevenness" in known:
        uneven = sure_degrees(known.value("PTO, unevenness"))
        rows += wrapped(f"It turns unevenly by {uneven} % here, forks in line.", width)
    if isinstance(field, FieldLook) and field.slip is not None:
        takes_up, steepest = known.value("PTO slip"), known.value("PTO joint, steepest")
        rows += wrapped(f"{slip_text(field.slip, takes_up, steepest, units)}.", width)
        rows += _overlap(field, how, width)
    rows += wrapped("PTO off before lifting. After any change of link, check overlap and angle.", width, "", "warn")
    return tuple(rows)


def _overlap(field: FieldLook, how: How, width: int) -> tuple[Line, ...]:
    units, known = how
    if field.overlap_mm is None or field.room_to_close_mm is None:
        words = "Write the shaft's closed length and overlap: then it is known whether it comes apart or bottoms."
        return wrapped(words, width, "", "dim")
    rows: list[Line] = []
    for left, least_mm, word in (
        (known.value("overlap left"), OVERLAP_MM, "overlap left at its longest"),
        (known.value("left to close"), ROOM_MM, "left to close at its shortest"),
    ):
        short = left.value < least_mm
        missing = f", {length_text(least_mm, units)} wanted" if short else ""
        room = sure_length(left, units)
        rows += wrapped(f"{room} of {word}{missing}.", width, "", "warn" if short else "")
    return tuple(rows)


CORNER_CAUTION = (
    "A hydraulic link can be run to either end at any height: go to all four corners slowly, from the seat, PTO off, "
    "nobody near the hitch. The machine's manual comes first."
)
_CELL = 9
_LENGTHS = 5
_EQUAL_MM = 2.5  # under this the two ways differ by less than half a degree


def number_lines(
    look: Look, field: FieldLook | CannotReach | None, need: NeedLook | None, units: Units, width: int
) -> tuple[Line, ...]:
    """Return everything that is worked out, section by section."""
    known = hitch_numbers(look, field, need)
    return (
        *_sureness(look, units, width),
        *_pitch(look, field, (units, known), width),
        *_corners(field, (units, known), width),
        *_needed(need, field, (units, known), width),
        *_roll(look, (units, known), width),
        *force_lines(look, width, (units, known)),
        *shaft_lines(look, field, (units, known), width),
    )


def _sureness(look: Look, units: Units, width: int) -> tuple[Line, ...]:
    usual = usual_names(look.figures)
    category = f"category {look.setup.category}"
    rows: list[Line] = []
    if not look.setup.category_is_known:
        rows += wrapped(f"The hitch's category is not written down; {category} stands in.", width, "", "warn")
    if usual:
        words = f"Not measured, usual figures of {category} instead: {'; '.join(usual)}."
        rows += wrapped(words, width, "", "warn")
    pitch = look.pitch
    if not isinstance(pitch, CannotReach) and pitch.most_from:
        rows += wrapped(f"Most of the doubt in the pitch comes from: {pitch.most_from}.", width, "", "dim")
    return tuple(rows)


def _pitch(look: Look, field: FieldLook | CannotReach | None, how: How, width: int) -> tuple[Line, ...]:
    units, known = how
    rows = [BLANK, heading("Pitch (fore-aft), nose up +, nose down -")]
    at = (
        f"Balls {both_lengths(look.setting.height_mm, units)}, top link {both_lengths(look.setting.top_link_mm, units)}"
    )
    if isinstance(look.pitch, CannotReach):
        rows += wrapped(f"{at}: {say(look.pitch.said, units)}.", width, "", "warn")
    else:
        rows += wrapped(f"{at}: {doubtful_degrees(look.pitch)}, {pitch_word(look.pitch.value)}.", width)
    if "pitch per cm" in known:
        step = 10.0 if units == "mm" else 25.4
        rate = sure_degrees(known.value("pitch per cm") * (step / 10), 2)
        rows += wrapped(f"{length_text(step, units)} of top link is {rate} deg.", width)
    rows += _swing(look, how, width)
    if isinstance(field, FieldLook):
        rows += _pitch_table(look, field, units, min(_CELL, width // (_LENGTHS + 3)))
        sure = sorted(known.value(name).plus_minus for name in CORNER_NAMES if name in known)
        if sure:
            rows += wrapped(f"Sure within ± {sure[0]:.1f} to {sure[-1]:.1f} deg (at the corners).", width, "", "dim")
    return tuple(rows)


def _swing(look: Look, how: How, width: int) -> tuple[Line, ...]:
    """Return where the implement swings about; nothing is said of a point that is less sure than it is far."""
    units, known = how
    if look.swing_point is None:
        return wrapped("The links are parallel: lifting does not change the pitch.", width)
    if not isinstance(look.swing_point, Point):
        return ()
    ahead = known.value("swings about")
    if ahead.plus_minus > abs(ahead.value):
        return wrapped("The links are parallel within their doubt: lifting hardly changes the pitch.", width)
    away, where = sure_length(_without_sign(ahead), units), "ahead of" if ahead.value >= 0 else "behind"
    return wrapped(
        f"It swings about a point {away} {where} the balls (virtual hitch point); near means much pitch in lift, "
        "far means little.",
        width,
    )


def _pitch_table(look: Look, field: FieldLook, units: Units, cell: int) -> tuple[Line, ...]:
    """Return the pitch by height for lengths of the top link, for the one that is tried, and what the hitch lifts."""
    span_mm = field.field.open_mm - field.field.closed_mm
    lengths = [field.field.closed_mm + span_mm * step / (_LENGTHS - 1) for step in range(_LENGTHS)]
    titles = ("balls", *(_bare(length_mm, units) for length_mm in lengths), "tried", "lifts")
    rows = [
        line(Span(f"Degrees by height of the balls and length of the top link, in {units}:", "dim")),
        line(Span("".join(f"{title:>{cell}}" for title in titles), "dim")),
    ]
    for height_mm in (row.height_mm for row in field.table):
        share = lift_share(look.linkage, height_mm, field.field.lowest_mm)
        linkages = (*(with_top_link(look.linkage, length_mm) for length_mm in lengths), look.linkage)
        cells = [
            _bare(height_mm, units),
            *(_pitch_cell(pitch_deg(linkage, height_mm)) for linkage in linkages),
            f"{share * 100:.0f} %" if isinstance(share, float) else "-",
        ]
        rows.append(line("".join(f"{text:>{cell}}" for text in cells)))
    return tuple(rows)


def _bare(mm: float, units: Units) -> str:
    return length_text(mm, units).removesuffix(f" {units}")


def _pitch_cell(found: float | CannotReach) -> str:
    return "-" if isinstance(found, CannotReach) else degrees(found)


def _corners(field: FieldLook | CannotReach | None, how: How, width: int) -> tuple[Line, ...]:
    units, _ = how
    if field is None:
        words = "Tape the top link closed and open: then its four corners and all in between are looked at."
        return (BLANK, heading("The four corners"), *wrapped(words, width, "", "dim"))
    if isinstance(field, CannotReach):
        return (BLANK, heading("The four corners"), *wrapped(f"{reach_text(field, units)}.", width, "", "warn"))
    link = range_text(field.field.closed_mm, field.field.open_mm, units)
    lift = range_text(field.field.lowest_mm, field.field.highest_mm, units)
    rows = [BLANK, heading(f"The four corners: {field.link.name} {link}, balls {lift}")]
    rows += [
        row
        for name, corner in zip(CORNER_NAMES, field.corners, strict=True)
        for row in _corner(name, corner, how, width)
    ]
    if field.least:
        wanted = f"cab {length_text(WANTED_MM['cab'], units)}, tyre {length_text(WANTED_MM['tyre'], units)}"
        rows.append(line(Span(f"Least room anywhere on it; wanted: {wanted}.", "dim")))
        for worst, room in zip(field.least, field.rooms, strict=True):
            span = worst_span(worst, units, room)
            rows += wrapped(span.text, width, "  ", span.mark)
    rows += wrapped(CORNER_CAUTION, width, "", "warn")
    return tuple(rows)


def _corner(name: str, corner: CornerLook, how: How, width: int) -> tuple[Line, ...]:
    units, known = how
    pose = corner.corner.pose
    if isinstance(pose, CannotReach):
        return wrapped(f"{name}: {say(pose.said, units)}", width, "  ", "warn")
    pitch, worst = sure_degrees(known.value(name)), Span("no corners of an implement written")
    if corner.worst is not None:
        worst = room_span(corner.worst, units, "", known.value(f"{corner.worst.obstacle}, {name}"))
    return wrapped(f"{name}: {pitch} deg, {worst.text}", width, "  ", worst.mark)


def _needed(need: NeedLook | None, field: FieldLook | CannotReach | None, how: How, width: int) -> tuple[Line, ...]:
    units, _ = how
    if need is None:
        words = "Write the implement's working heights and the pitch wanted each way: then the length needed is known."
        return (BLANK, heading("Length of top link needed"), *wrapped(words, width, "", "dim"))
    rows: list[Line] = [BLANK, heading("Length of top link needed")]
    if isinstance(need.need, CannotReach):
        return (*rows, *wrapped(f"The pitch wanted: {say(need.need.said, units)}.", width, "", "warn"))
    if isinstance(need.shortest, CannotReach) or isinstance(need.longest, CannotReach):
        return tuple(rows)
    rows += wrapped(
        f"{abs(need.need.down_deg):g} deg nose down to {need.need.up_deg:g} deg nose up at the working heights: "
        f"{plus_minus_text(need.shortest, units)} to {plus_minus_text(need.longest, units)}.",
        width,
    )
    both = range_text(need.need.closed_mm, need.need.open_mm, units)
    rows += wrapped(f"With {length_text(need.need.reserve_mm, units)} in reserve at each end: {both}.", width)
    if need.against is not None and isinstance(field, FieldLook):
        rows += _against(need, field.link.name, how, width)
    return tuple(rows)


def _against(need: NeedLook, name: str, how: How, width: int) -> tuple[Line, ...]:
    units, known = how
    assert need.against is not None
    assert not isinstance(need.need, CannotReach)
    rows: list[Line] = []
    ends = (
        ("closed", known.value("in hand closed"), need.against.lost_down_deg, "nose-down"),
        ("open", known.value("in hand open"), need.against.lost_up_deg, "nose-up"),
    )
    for end, in_hand, lost_deg, way in ends:
        room = sure_length(_without_sign(in_hand), units)
        if in_hand.value >= 0:
            mark = "" if in_hand.value >= need.need.reserve_mm else "warn"
            rows += wrapped(f"{name} {end}: {room} in hand.", width, "  ", mark)
            continue
        lost = (
            f"{degrees(lost_deg)} deg of {way} pitch lost" if isinstance(lost_deg, float) else say(lost_deg.said, units)
        )
        rows += wrapped(f"{name} {end}: {room} missing, {lost}.", width, "  ", "renew")
    return tuple(rows)


def _roll(look: Look, how: How, width: int) -> tuple[Line, ...]:
    units, known = how
    rows: list[Line] = [BLANK, heading("Roll (side to side), by one lift rod")]
    if isinstance(look.roll, CannotReach):
        return (*rows, *wrapped(f"{reach_text(look.roll, units)}.", width, "", "warn"))
    if isinstance(look.levelling, Levelling) and look.setup.rod_range is not None:
        rod = look.setup.rod_range
        up, down = sure_degrees(known.value("roll, rod closed")), sure_degrees(-known.value("roll, rod open"))
        up_mm = sure_length(known.value("ball moves, rod closed"), units)
        down_mm = sure_length(-known.value("ball moves, rod open"), units)
        rows += wrapped(
            f"{rod.name} {range_text(rod.closed.mm, rod.open.mm, units)}: its side {up} deg up "
            f"({up_mm} at the ball) to {down} deg down "
            f"({down_mm}).",
            width,
        )
        rows += wrapped(_middle_text(known.value("off middle"), units), width)
    elif isinstance(look.levelling, CannotReach):
        rows += wrapped(f"{reach_text(look.levelling, units)}.", width, "", "warn")
    if look.levelling is None:
        words = "Tape a lift rod closed and open: then what it rolls is known."
        rows += wrapped(words, width, "", "dim")
    for place, found in enumerate(tilt_need(look)):
        rows += _tilt_line(found, f"stroke/{place}", how, width)
    return tuple(rows)


def _middle_text(off: Value, units: Units) -> str:
    if abs(off.value) < _EQUAL_MM:
        return "At mid stroke it is as long as the other rod: the roll is the same both ways."
    side, more = ("longer", "down than up") if off.value > 0 else ("shorter", "up than down")
    apart = sure_length(_without_sign(off), units)
    return f"At mid stroke it is {apart} {side} than the other rod: more roll {more}."


def _without_sign(size: Value) -> Value:
    return -size if size.value < 0 else size


def _tilt_line(found: TiltNeed, number_id: str, how: How, width: int) -> tuple[Line, ...]:
    units, known = how
    if isinstance(found.stroke_mm, CannotReach):
        return wrapped(f"{found.hole}: {say(found.stroke_mm.said, units)}", width, "  ", "warn")
    stroke = sure_length(known.value(number_id), units)
    text = f"{found.each_way_deg:g} deg each way in the {found.hole}: {stroke} of stroke"
    return wrapped(text, width, "  ")


def opened_hitch(
    look: Look, field: FieldLook | CannotReach | None, need: NeedLook | None, units: Units
) -> list[Number]:
    """Return the numbers of a hitch's pages opened up."""
    known = hitch_numbers(look, field, need)
    named = (
        (number_id, Texts(say(told.called, units), say(told.about, units), FORMULAS[told.number.formula]))
        for number_id, told in known.told.items()
    )
    return page_numbers(known.numbers, named, lambda thing: say(thing, units))


def hitch_rows(cases: Sequence[HitchCase], units: Units, width: int) -> tuple[Line, ...]:
    """Return each measured hitch with each implement; one known by its category only is named in a line."""
    rows: list[Line] = []
    unmeasured = dict.fromkeys(shown_name(case.machine) for case in cases if not case.is_measured)
    for case in cases:
        if not case.is_measured:
            continue
        name = f"{shown_name(case.machine)}: hitch"
        rows += [BLANK, heading(f"{name} with {case.implement_name}" if case.implement_name else name)]
        lines = number_lines(case.look, case.field, case.need, units, width - 3)
        rows += [Line((Span("   "), *row.spans)) if row.spans else row for row in lines]
    for name in unmeasured:
        words = f"{name}: hitch not measured, only its category is known."
        rows += [BLANK, *wrapped(words, width, "", "dim")]
    return tuple(rows)
