"""A hitch with an implement on it as it bears on a cylinder: the length needed there, and what must be cleared."""

from dataclasses import dataclass

from fieldlog.measure.estimate import Estimate
from fieldlog.measure.rounding import mm_text
from fieldlog.records.quantities import Units
from fieldlog.retrofit.carried import Carried
from fieldlog.retrofit.clearances import ClearPoint, Surroundings
from fieldlog.retrofit.linkage import Linkage, Offset, pitch_deg, with_top_link
from fieldlog.retrofit.needed import Need
from fieldlog.retrofit.plane import CannotReach, Point
from fieldlog.retrofit.reach import Wanted
from fieldlog.retrofit.setup import HitchSetup

_NOTHING_AROUND = Surroundings()


@dataclass(frozen=True, slots=True)
class OnHitch:
    """A hitch with an implement: holes in use, heights of the balls, and what must be cleared.

    `work_mm` are the working heights, `need` the length needed there, `need_sizes` the same with the
    doubt that the hitch's figures leave in both ends.
    `stub` and `joint` are the ends of the PTO shaft where there is one; `name` and `roll_deg` are the implement's
    name and the roll each way that it asks. `setup` is what all that comes from, with the doubt of each figure.
    """

    linkage: Linkage
    heights_mm: tuple[float, float]
    work_mm: tuple[float, float]
    need: Need | None = None
    need_sizes: tuple[Carried, Carried] | None = None
    need_words: str = ""
    points: tuple[ClearPoint, ...] = ()
    around: Surroundings = _NOTHING_AROUND
    stub: Point | None = None
    joint: Offset | None = None
    name: str = ""
    roll_deg: float | None = None
    setup: HitchSetup | None = None


def wanted_of(hitch: OnHitch) -> Wanted | None:
    """Return the lengths that the work on this hitch needs; None where that is not known."""
    need = hitch.need
    if need is None:
        return None

    def lost(closed_mm: float, open_mm: float) -> tuple[float | None, float | None]:
        closed = pitch_deg(with_top_link(hitch.linkage, closed_mm), need.shortest_at_mm)
        opened = pitch_deg(with_top_link(hitch.linkage, open_mm), need.longest_at_mm)
        down = None if isinstance(closed, CannotReach) else closed - need.down_deg
        return down, None if isinstance(opened, CannotReach) else need.up_deg - opened

    sizes = hitch.need_sizes
    low, high = (size.length.parts for size in sizes) if sizes is not None else ((), ())
    least, most = Estimate(need.shortest_mm, low), Estimate(need.longest_mm, high)
    return Wanted(least, most, hitch.need_words, lost, behind=sizes)


def height_words(mm: float, units: Units) -> str:
    """Return a height or length as it is said of a position: to a millimetre or a tenth of an inch."""
    return mm_text(mm, units, _places(units))


def _places(units: Units) -> int:
    return 0 if units == "mm" else 1
