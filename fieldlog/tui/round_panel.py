"""What the readings at a stop of the walk say: of a hole, a pin or a link, and which of them stand apart."""

from fieldlog.measure.apart import about_readings, repeat_marks
from fieldlog.records.entries import BoreReading, LigamentReading, PinReading
from fieldlog.records.quantities import Units
from fieldlog.report.doubt_view import apart_lines
from fieldlog.report.lines import Line
from fieldlog.report.round_view import bore_panel, pin_panel
from fieldlog.tui.link_stop import report_now
from fieldlog.tui.round_work import RoundWork


def panel_lines(work: RoundWork, units: Units, width: int, room: int) -> tuple[Line, ...]:
    """Return the panel of the stop, what matters most first."""
    readings = work.readings()
    marks = tuple(mark for mark in repeat_marks(readings, work.instruments) if mark.key not in work.kept)
    apart = apart_lines(marks, (), units, width)
    about = apart_lines((), about_readings(readings, marks), units, width)
    if work.stop.kind == "hole":
        assert work.before is not None
        bores = tuple(entry for entry in readings if isinstance(entry, BoreReading))
        walls = tuple(entry for entry in readings if isinstance(entry, LigamentReading))
        return (*apart, *bore_panel(work.sight(), bores, work.before, units, width, walls), *about)
    if work.stop.kind == "pin":
        pins = tuple(entry for entry in readings if isinstance(entry, PinReading))
        return (*apart, *pin_panel(pins, work.pin_sight(), units, width), *about)
    from fieldlog.report.link_round import link_panel

    return (*apart, *link_panel(readings, report_now(work), units, width, room - len(apart)), *about)
