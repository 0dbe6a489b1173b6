"""A hole looked at closely, as data: readings that stand apart, depth, walls, hints. Keys are added, never renamed."""

from collections.abc import Mapping

from fieldlog.measure.depth import Gap
from fieldlog.measure.ligaments import WallGap
from fieldlog.report.size_data import size_data
from fieldlog.wear.details import HoleDetails

_DIGITS = 6


def detail_data(details: HoleDetails) -> Mapping[str, object]:
    """Return what the hole's page shows below its sizes."""
    shape = details.shape
    return {
        "stand_apart": [
            {
                "day": day.size.day.isoformat(),
                "reading": mark.key,
                "typed": mark.typed,
                "clock": mark.clock,
                "face": mark.face,
                "gap_mm": round(mark.gap_mm, _DIGITS),
                "from": mark.against,
                "kept": mark in day.kept,
            }
            for day in details.days
            for mark in (*day.marks, *day.kept)
        ],
        "lack_of_fit": details.days[-1].misfit if details.days else "",
        "depth": None
        if shape.depth is None
        else {"pattern": shape.depth.pattern.value, "gaps": [_gap(gap) for gap in shape.depth.gaps]},
        "ligaments": [{"clock": wall.clock, "thickness": size_data(wall.size)} for wall in shape.walls],
        "thinner": [_wall_gap(gap) for gap in shape.opposite],
        "since_first_measured": [_wall_gap(gap) for gap in shape.since],
        "hints": list(shape.hints),
    }


def _gap(gap: Gap) -> Mapping[str, object]:
    return {"of": gap.name, "clock": gap.clock, "size": size_data(gap.size), "proved": bool(gap.sign)}


def _wall_gap(gap: WallGap) -> Mapping[str, object]:
    return {"clock": gap.clock, "less": gap.other, "size": size_data(gap.size), "proved": gap.is_proved}
