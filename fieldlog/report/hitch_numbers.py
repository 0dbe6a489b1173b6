"""All the numbers of a hitch with an implement on it, as a page to walk down and as the printed report's section."""

from fieldlog.measure.figure import Figure
from fieldlog.records.quantities import Units
from fieldlog.report.hitch_loads import How, force_lines, shaft_lines
from fieldlog.report.hitch_words import (
    Doubts,
    both_lengths,
    degrees,
    doubtful_degrees,
    length_text,
    pitch_word,
    plus_minus_text,
    range_text,
    reach_text,
    room_span,
    sure_length,
    worst_span,
)
from fieldlog.report.lines import BLANK, Line, Span, heading, line, wrapped
from fieldlog.retrofit.clearances import WANTED_MM
from fieldlog.retrofit.field_look import CORNER_NAMES, CornerLook, FieldLook, NeedLook
from fieldlog.retrofit.forces import lift_share
from fieldlog.retrofit.hitch_opened import hitch_numbers
from fieldlog.retrofit.linkage import Pose, pitch_deg, with_top_link
from fieldlog.retrofit.look import Look
from fieldlog.retrofit.plane import CannotReach, Point
from fieldlog.retrofit.roll import Levelling, off_middle_mm
from fieldlog.retrofit.setup import usual_names
from fieldlog.retrofit.tilt_need import TiltNeed, tilt_need

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
    doubts = _doubts(look, field, need)
    return (
        *_sureness(look, units, width),
        *_pitch(look, field, (units, doubts), width),
        *_corners(field, (units, doubts), width),
        *_needed(need, field, (units, doubts), width),
        *_roll(look, (units, doubts), width),
        *force_lines(look, width, (units, doubts)),
        *shaft_lines(look, field, (units, doubts), width),
    )


def _doubts(look: Look, field: FieldLook | CannotReach | None, need: NeedLook | None) -> Doubts:
    """Return the 95 % half-width of every number here, by its word."""
    numbers = hitch_numbers(look, field, need)
    return {number.word: number.estimate.expanded for number in numbers if isinstance(number.estimate, Figure)}


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
    units, doubts = how
    rows = [BLANK, heading("Pitch (fore-aft), nose up +, nose down -")]
    at = (
        f"Balls {both_lengths(look.setting.height_mm, units)}, top link {both_lengths(look.setting.top_link_mm, units)}"
    )
    if isinstance(look.pitch, CannotReach):
        rows += wrapped(f"{at}: {look.pitch.sentence()}.", width, "", "warn")
    else:
        rows += wrapped(f"{at}: {doubtful_degrees(look.pitch)}, {pitch_word(look.pitch.value)}.", width)
    if isinstance(look.pitch_rate, float):
        step = 10.0 if units == "mm" else 25.4
        rate = degrees(look.pitch_rate * step, doubts.get("pitch per cm", 0.0) * step / 10, 2)
        rows += wrapped(f"{length_text(step, units)} of top link is {rate} deg.", width)
    rows += _swing(look, how, width)
    if isinstance(field, FieldLook):
        rows += _pitch_table(look, field, units, min(_CELL, width // (_LENGTHS + 3)))
        sure = sorted(doubts[name] for name in CORNER_NAMES if name in doubts)
        if sure:
            rows += wrapped(f"Sure within ± {sure[0]:.1f} to {sure[-1]:.1f} deg (at the corners).", width, "", "dim")
    return tuple(rows)


def _swing(look: Look, how: How, width: int) -> tuple[Line, ...]:
    """Return where the implement swings about; nothing is said of a point that is less sure than it is far."""
    units, doubts = how
    if look.swing_point is None:
        return wrapped("The links are parallel: lifting does not change the pitch.", width)
    if not isinstance(look.swing_point, Point):
        return ()
    ahead_mm = (look.pose.ball.x_mm if isinstance(look.pose, Pose) else 0.0) - look.swing_point.x_mm
    doubt_mm = doubts.get("swings about", 0.0)
    if doubt_mm > abs(ahead_mm):
        return wrapped("The links are parallel within their doubt: lifting hardly changes the pitch.", width)
    away, where = sure_length(abs(ahead_mm), doubt_mm, units), "ahead of" if ahead_mm >= 0 else "behind"
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
        return (BLANK, heading("The four corners"), *wrapped(f"{reach_text(field)}.", width, "", "warn"))
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
        for worst, doubt_mm in zip(field.least, field.doubts_mm, strict=True):
            span = worst_span(worst, units, doubt_mm)
            rows += wrapped(span.text, width, "  ", span.mark)
    rows += wrapped(CORNER_CAUTION, width, "", "warn")
    return tuple(rows)


def _corner(name: str, corner: CornerLook, how: How, width: int) -> tuple[Line, ...]:
    units, doubts = how
    pose = corner.corner.pose
    if isinstance(pose, CannotReach):
        return wrapped(f"{name}: {pose.sentence()}", width, "  ", "warn")
    pitch, worst = degrees(pose.pitch_deg, doubts.get(name, 0.0)), Span("no corners of an implement written")
    if corner.worst is not None:
        worst = room_span(corner.worst, units, "", doubts.get(f"{corner.worst.obstacle}, {name}", 0.0))
    return wrapped(f"{name}: {pitch} deg, {worst.text}", width, "  ", worst.mark)


def _needed(need: NeedLook | None, field: FieldLook | CannotReach | None, how: How, width: int) -> tuple[Line, ...]:
    units, _ = how
    if need is None:
        words = "Write the implement's working heights and the pitch wanted each way: then the length needed is known."
        return (BLANK, heading("Length of top link needed"), *wrapped(words, width, "", "dim"))
    rows: list[Line] = [BLANK, heading("Length of top link needed")]
    if isinstance(need.need, CannotReach):
        return (*rows, *wrapped(f"The pitch wanted: {need.need.sentence()}.", width, "", "warn"))
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
    units, doubts = how
    assert need.against is not None
    assert not isinstance(need.need, CannotReach)
    rows: list[Line] = []
    ends = (
        ("closed", need.against.closed_room_mm, need.against.lost_down_deg, "nose-down"),
        ("open", need.against.open_room_mm, need.against.lost_up_deg, "nose-up"),
    )
    for end, room_mm, lost_deg, way in ends:
        room = sure_length(abs(room_mm), doubts.get(f"in hand {end}", 0.0), units)
        if room_mm >= 0:
            mark = "" if room_mm >= need.need.reserve_mm else "warn"
            rows += wrapped(f"{name} {end}: {room} in hand.", width, "  ", mark)
            continue
        lost = f"{degrees(lost_deg)} deg of {way} pitch lost" if isinstance(lost_deg, float) else lost_deg.sentence()
        rows += wrapped(f"{name} {end}: {room} missing, {lost}.", width, "  ", "renew")
    return tuple(rows)


def _roll(look: Look, how: How, width: int) -> tuple[Line, ...]:
    units, doubts = how
    rows: list[Line] = [BLANK, heading("Roll (side to side), by one lift rod")]
    if isinstance(look.roll, CannotReach):
        return (*rows, *wrapped(f"{reach_text(look.roll)}.", width, "", "warn"))
    if isinstance(look.levelling, Levelling) and look.setup.rod_range is not None:
        rod, level = look.setup.rod_range, look.levelling
        up = degrees(level.up_deg, doubts.get("roll, rod closed", 0.0))
        down = degrees(level.down_deg, doubts.get("roll, rod open", 0.0))
        up_mm = sure_length(level.up_mm, doubts.get("ball moves, rod closed", 0.0), units)
        down_mm = sure_length(level.down_mm, doubts.get("ball moves, rod open", 0.0), units)
        rows += wrapped(
            f"{rod.name} {range_text(rod.closed.mm, rod.open.mm, units)}: its side {up} deg up "
            f"({up_mm} at the ball) to {down} deg down "
            f"({down_mm}).",
            width,
        )
        off_mm = off_middle_mm(rod.closed.mm, rod.open.mm, look.linkage.rod_mm)
        rows += wrapped(_middle_text(off_mm, how), width)
    elif isinstance(look.levelling, CannotReach):
        rows += wrapped(f"{reach_text(look.levelling)}.", width, "", "warn")
    if look.levelling is None:
        words = "Tape a lift rod closed and open: then what it rolls is known."
        rows += wrapped(words, width, "", "dim")
    for found in tilt_need(look):
        rows += _tilt_line(found, how, width)
    return tuple(rows)


def _middle_text(off_mm: float, how: How) -> str:
    units, doubts = how
    if abs(off_mm) < _EQUAL_MM:
        return "At mid stroke it is as long as the other rod: the roll is the same both ways."
    side, more = ("longer", "down than up") if off_mm > 0 else ("shorter", "up than down")
    off = sure_length(abs(off_mm), doubts.get("off middle", 0.0), units)
    return f"At mid stroke it is {off} {side} than the other rod: more roll {more}."


def _tilt_line(found: TiltNeed, how: How, width: int) -> tuple[Line, ...]:
    units, doubts = how
    if isinstance(found.stroke_mm, CannotReach):
        return wrapped(f"{found.hole}: {found.stroke_mm.sentence()}", width, "  ", "warn")
    stroke = sure_length(found.stroke_mm, doubts.get(f"stroke, {found.hole}", 0.0), units)
    text = f"{found.each_way_deg:g} deg each way in the {found.hole}: {stroke} of stroke"
    return wrapped(text, width, "  ")
