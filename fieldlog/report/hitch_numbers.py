"""All the numbers of a hitch with an implement on it, as a page to walk down and as the printed report's section."""

from fieldlog.records.quantities import Units
from fieldlog.report.hitch_words import (
    both_lengths,
    degrees,
    doubtful_degrees,
    force_text,
    length_text,
    pitch_word,
    plus_minus_text,
    range_text,
    reach_text,
    room_span,
    shaft_text,
    slip_text,
    top_link_text,
    worst_span,
)
from fieldlog.report.lines import BLANK, Line, Span, heading, line, wrapped
from fieldlog.retrofit.clearances import WANTED_MM
from fieldlog.retrofit.driveline import OVERLAP_MM, ROOM_MM, residual_deg, unevenness
from fieldlog.retrofit.field_look import CORNER_NAMES, CornerLook, FieldLook, NeedLook
from fieldlog.retrofit.forces import BOUNCE, lift_share
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
    return (
        *_sureness(look, units, width),
        *_pitch(look, field, units, width),
        *_corners(field, units, width),
        *_needed(need, field, units, width),
        *_roll(look, units, width),
        *_forces(look, width, units),
        *_driveline(look, field, units, width),
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


def _pitch(look: Look, field: FieldLook | CannotReach | None, units: Units, width: int) -> tuple[Line, ...]:
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
        rows += wrapped(f"{length_text(step, units)} of top link is {degrees(look.pitch_rate * step)} deg.", width)
    if isinstance(look.swing_point, Point):
        ahead_mm = (look.pose.ball.x_mm if isinstance(look.pose, Pose) else 0.0) - look.swing_point.x_mm
        where = "ahead of" if ahead_mm >= 0 else "behind"
        rows += wrapped(
            f"It swings about a point {length_text(abs(ahead_mm), units)} {where} the balls (virtual hitch point); "
            "near means much pitch in lift, far means little.",
            width,
        )
    elif look.swing_point is None:
        rows += wrapped("The links are parallel: lifting does not change the pitch.", width)
    if isinstance(field, FieldLook):
        rows += _pitch_table(look, field, units, min(_CELL, width // (_LENGTHS + 3)))
    return tuple(rows)


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


def _corners(field: FieldLook | CannotReach | None, units: Units, width: int) -> tuple[Line, ...]:
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
        for row in _corner(name, corner, units, width)
    ]
    if field.least:
        wanted = f"cab {length_text(WANTED_MM['cab'], units)}, tyre {length_text(WANTED_MM['tyre'], units)}"
        rows.append(line(Span(f"Least room anywhere on it; wanted: {wanted}.", "dim")))
        for worst, doubt_mm in zip(field.least, field.doubts_mm, strict=True):
            span = worst_span(worst, units, doubt_mm)
            rows += wrapped(span.text, width, "  ", span.mark)
    rows += wrapped(CORNER_CAUTION, width, "", "warn")
    return tuple(rows)


def _corner(name: str, corner: CornerLook, units: Units, width: int) -> tuple[Line, ...]:
    pose = corner.corner.pose
    if isinstance(pose, CannotReach):
        return wrapped(f"{name}: {pose.sentence()}", width, "  ", "warn")
    worst = room_span(corner.worst, units) if corner.worst is not None else Span("no corners of an implement written")
    return wrapped(f"{name}: {degrees(pose.pitch_deg)} deg, {worst.text}", width, "  ", worst.mark)


def _needed(need: NeedLook | None, field: FieldLook | CannotReach | None, units: Units, width: int) -> tuple[Line, ...]:
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
        rows += _against(need, field.link.name, units, width)
    return tuple(rows)


def _against(need: NeedLook, name: str, units: Units, width: int) -> tuple[Line, ...]:
    assert need.against is not None
    assert not isinstance(need.need, CannotReach)
    rows: list[Line] = []
    ends = (
        ("closed", need.against.closed_room_mm, need.against.lost_down_deg, "nose-down"),
        ("open", need.against.open_room_mm, need.against.lost_up_deg, "nose-up"),
    )
    for end, room_mm, lost_deg, way in ends:
        if room_mm >= 0:
            mark = "" if room_mm >= need.need.reserve_mm else "warn"
            rows += wrapped(f"{name} {end}: {length_text(room_mm, units)} in hand.", width, "  ", mark)
            continue
        lost = f"{degrees(lost_deg)} deg of {way} pitch lost" if isinstance(lost_deg, float) else lost_deg.sentence()
        rows += wrapped(f"{name} {end}: {length_text(-room_mm, units)} missing, {lost}.", width, "  ", "renew")
    return tuple(rows)


def _roll(look: Look, units: Units, width: int) -> tuple[Line, ...]:
    rows: list[Line] = [BLANK, heading("Roll (side to side), by one lift rod")]
    if isinstance(look.roll, CannotReach):
        return (*rows, *wrapped(f"{reach_text(look.roll)}.", width, "", "warn"))
    if isinstance(look.levelling, Levelling) and look.setup.rod_range is not None:
        rod, level = look.setup.rod_range, look.levelling
        rows += wrapped(
            f"{rod.name} {range_text(rod.closed.mm, rod.open.mm, units)}: its side {degrees(level.up_deg)} deg up "
            f"({length_text(level.up_mm, units)} at the ball) to {degrees(level.down_deg)} deg down "
            f"({length_text(level.down_mm, units)}).",
            width,
        )
        off_mm = off_middle_mm(rod.closed.mm, rod.open.mm, look.linkage.rod_mm)
        rows += wrapped(_middle_text(off_mm, units), width)
    elif isinstance(look.levelling, CannotReach):
        rows += wrapped(f"{reach_text(look.levelling)}.", width, "", "warn")
    for found in tilt_need(look):
        rows += _tilt_line(found, units, width)
    return tuple(rows)


def _middle_text(off_mm: float, units: Units) -> str:
    if abs(off_mm) < _EQUAL_MM:
        return "At mid stroke it is as long as the other rod: the roll is the same both ways."
    side, more = ("longer", "down than up") if off_mm > 0 else ("shorter", "up than down")
    return f"At mid stroke it is {length_text(abs(off_mm), units)} {side} than the other rod: more roll {more}."


def _tilt_line(found: TiltNeed, units: Units, width: int) -> tuple[Line, ...]:
    if isinstance(found.stroke_mm, CannotReach):
        return wrapped(f"{found.hole}: {found.stroke_mm.sentence()}", width, "  ", "warn")
    text = f"{found.each_way_deg:g} deg each way in the {found.hole}: {length_text(found.stroke_mm, units)} of stroke"
    return wrapped(text, width, "  ")


def _forces(look: Look, width: int, units: Units) -> tuple[Line, ...]:
    rows: list[Line] = [BLANK, heading("Forces, carried and standing still")]
    if look.top_link is None:
        words = "Write the implement's weight and where its centre of gravity is: then the forces are known."
        return (*rows, *wrapped(words, width, "", "dim"))
    if isinstance(look.top_link, CannotReach):
        return (*rows, *wrapped(f"{reach_text(look.top_link)}.", width, "", "warn"))
    rows += wrapped(f"{top_link_text(look.top_link, units)}.", width)
    if look.top_link.reverses:
        rows += wrapped("The load reverses, so both directions must be held.", width, "", "strong")
    if isinstance(look.rods_kn, float):
        each = force_text(look.rods_kn / 2, units)
        rows += wrapped(f"Lift rods {force_text(look.rods_kn, units)} together, {each} each.", width)
    rows += wrapped(f"A road bounce makes about {BOUNCE:g} times this of it, two to three.", width, "", "dim")
    if isinstance(look.lift_share, float):
        rows += wrapped(
            f"At 610 mm (24 in) behind the balls it lifts {look.lift_share * 100:.0f} % of what it lifts at the balls "
            "when they are lowest.",
            width,
        )
    return tuple(rows)


def _driveline(look: Look, field: FieldLook | CannotReach | None, units: Units, width: int) -> tuple[Line, ...]:
    if look.shaft is None:
        return ()
    rows: list[Line] = [BLANK, heading("PTO shaft")]
    if isinstance(look.shaft, CannotReach):
        return (*rows, *wrapped(f"{reach_text(look.shaft)}.", width, "", "warn"))
    rows += wrapped(f"{shaft_text(look.shaft, units)}.", width)
    percent = 100 * unevenness(residual_deg(look.shaft.tractor_deg, look.shaft.implement_deg))
    rows += wrapped(f"It turns unevenly by {percent:.1f} % here, forks in line.", width)
    if isinstance(field, FieldLook) and field.slip is not None:
        rows += wrapped(f"{slip_text(field.slip, units)}.", width)
        rows += _overlap(field, units, width)
    rows += wrapped("PTO off before lifting. After any change of link, check overlap and angle.", width, "", "warn")
    return tuple(rows)


def _overlap(field: FieldLook, units: Units, width: int) -> tuple[Line, ...]:
    if field.overlap_mm is None or field.room_to_close_mm is None:
        words = "Write the shaft's closed length and overlap: then it is known whether it comes apart or bottoms."
        return wrapped(words, width, "", "dim")
    rows: list[Line] = []
    for mm, least_mm, word in (
        (field.overlap_mm, OVERLAP_MM, "overlap left at its longest"),
        (field.room_to_close_mm, ROOM_MM, "left to close at its shortest"),
    ):
        short = mm < least_mm
        missing = f", {length_text(least_mm, units)} wanted" if short else ""
        rows += wrapped(f"{length_text(mm, units)} of {word}{missing}.", width, "", "warn" if short else "")
    return tuple(rows)
