"""What a caliper's inside jaws do to a reading, and how it is learnt from known bores.

Flat jaws of width w, outer corner to outer corner, touch a bore of diameter D at two chords: they read
m = sqrt(D^2 - w^2), always too little. An inside offset c (zero, wear, bent tips) is the same at every size:
D = sqrt((m + c)^2 + w^2). A known bore tells the two together, c + w^2 / (2 D); only bores of different sizes tell
them apart. Trade knowledge 2.3; geometry.

Jaws: two independent unknowns. `measure/jaws.py` writes every doubt as constant + chord / (2 D), so that the budget
at any size is a sum of named parts although offset and width are learnt together. One size of known bore: laid to the
width (trade knowledge 2.3), the other reading of it stays in the budget and grows with the distance from that size. A
stated width is taken as stated; known bores then tell the offset alone.

With the inside offset learnt, the scale's own (outside) limit stays in the budget, the surplus of the inside limit
goes. The scale's error was in the check's readings too, so this errs to the wide side.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from fieldlog.quantity.rounding import both_fine_text, both_plain_text
from fieldlog.quantity.source import Source, Term, limit
from fieldlog.quantity.units import Units
from fieldlog.quantity.value import Value

_ROUNDS = 6  # the chord's curvature settles in two or three
_SURE = 2.0  # standard uncertainties
_NOT_BY_CHANCE = 3.0  # the same, where the worst of several is looked at


@dataclass(frozen=True, slots=True)
class KnownBore:
    """All readings of one known bore: their mean, and what their scatter and the bore's tolerance leave open."""

    size_mm: float
    tolerance_mm: float
    mean_mm: float
    scatter_u_mm: float
    dof: float

    @property
    def u_mm(self) -> float:
        """Standard uncertainty of bore minus reading."""
        return math.hypot(self.scatter_u_mm, self.tolerance_mm / math.sqrt(3))


@dataclass(frozen=True, slots=True)
class Caliper:
    """Whose jaws are meant: by ids of the caliper and of its checks, and by the caliper's name for people."""

    id: str
    name: str
    units: Units = "mm"


@dataclass(frozen=True, slots=True)
class Lever:
    """One source of doubt about the jaws: its term works on a size D with `constant` + `chord` / (2 D)."""

    term: Term
    constant: float
    chord: float


@dataclass(frozen=True, slots=True)
class Jaws:
    """A caliper's inside jaws as they are known: offset, width, and what is doubtful about them."""

    offset_mm: float
    width_mm: float
    levers: tuple[Lever, ...]
    remark: str = ""
    complaint: str = ""

    def corrected_mm(self, reading_mm: float) -> float:
        """Return the diameter behind a reading: D = sqrt((m + c)^2 + w^2)."""
        return math.hypot(reading_mm + self.offset_mm, self.width_mm)

    def terms_at(self, size_mm: float) -> tuple[Term, ...]:
        """Return what the jaws leave open at a size."""
        return tuple([lever.term.times(lever.constant + lever.chord / (2 * size_mm)) for lever in self.levers])

    def go_into(self, reading_mm: float) -> bool:
        """Tell whether jaws this wide can stand in a hole that reads so little."""
        return self.width_mm < reading_mm + self.offset_mm

    @property
    def offset(self) -> Value:
        """What is added to every reading, with its doubt."""
        return Value(self.offset_mm, "mm", tuple([lever.term.times(lever.constant) for lever in self.levers]))

    @property
    def width(self) -> Value | None:
        """The width of the jaws with its doubt, that of w^2 carried over; None where none shows."""
        if self.width_mm <= 0:
            return None
        over = 2 * self.width_mm
        return Value(self.width_mm, "mm", tuple([lever.term.times(lever.chord / over) for lever in self.levers]))


def stated_jaws(width_mm: float, error_mm: float, bores: Sequence[KnownBore], whose: Caliper) -> Jaws:
    """Return jaws of a stated width (0 for a gauge without flats); known bores then tell the offset alone.

    With bores of sizes D and readings m the offset is the weighted mean of sqrt(D^2 - w^2) - m.
    """
    squared_doubt = 2 * width_mm * error_mm
    width = limit(
        f"{whose.id}/width", squared_doubt, "jaws",
        label=f"{whose.name}, width of the inside jaws", why=f"stated {width_mm:g} ± {error_mm:g} mm",
    )  # fmt: skip
    if not bores:
        return Jaws(0.0, width_mm, (Lever(width, 0.0, 1.0),) if width_mm > 0 else ())
    weights = [1 / bore.u_mm**2 for bore in bores]
    level = _weighted([_chord_mm(bore.size_mm, width_mm) - bore.mean_mm for bore in bores], weights)
    centre = _weighted([1 / (2 * bore.size_mm) for bore in bores], weights)
    levers = tuple(Lever(term, 1.0, 0.0) for term in _level_terms(bores, weights, whose))
    return Jaws(level, width_mm, (*levers, Lever(width, -centre, 1.0)) if width_mm > 0 else levers)


def learnt_jaws(bores: Sequence[KnownBore], unknown_offset_mm: float, whose: Caliper) -> Jaws:
    """Return offset and width from known bores: by weighted least squares where their sizes tell the two apart.

    Args:
        bores: one or more known bores, each a different size.
        unknown_offset_mm: half-width within which the offset lies when nothing tells it, the inside limit.
        whose: the caliper, and the units that it speaks in.
    """
    weights = [1 / bore.u_mm**2 for bore in bores]
    chords = [1 / (2 * bore.size_mm) for bore in bores]
    if not _tells_apart(weights, chords, unknown_offset_mm):
        return _not_told_apart(bores, weights, unknown_offset_mm, whose)
    lacks = [bore.size_mm - bore.mean_mm for bore in bores]
    squared = 0.0
    for _ in range(_ROUNDS):
        squared = _tilt(lacks, chords, weights)
        chords = [_chord_share(bore.size_mm, squared) for bore in bores]
    slope, centre = _slope_term(bores, weights, chords, whose), _weighted(chords, weights)
    complaint = _backward(bores, whose.units) if squared < -_SURE * slope.u else ""
    squared = max(squared, 0.0)
    offset = _weighted(lacks, weights) - squared * centre
    levers = tuple(Lever(term, 1.0, 0.0) for term in _level_terms(bores, weights, whose))
    complaint = complaint or _misfit(bores, offset, squared, whose.units)
    return Jaws(offset, math.sqrt(squared), (*levers, Lever(slope, -centre, 1.0)), "", complaint)


def _weighted(values: Sequence[float], weights: Sequence[float]) -> float:
    return math.fsum(w * v for w, v in zip(weights, values, strict=True)) / math.fsum(weights)


def _chord_mm(size_mm: float, width_mm: float) -> float:
    """Return what flat jaws read in a bore, 0 where they do not go in."""
    return math.sqrt(max(size_mm**2 - width_mm**2, 0.0))


def _chord_share(size_mm: float, squared: float) -> float:
    """Return (D - sqrt(D^2 - w^2)) / w^2, which is 1 / (2 D) for thin jaws."""
    kept = max(min(squared, 0.75 * size_mm**2), 0.0)
    return 1 / (size_mm + math.sqrt(size_mm**2 - kept))


def _tilt(lacks: Sequence[float], chords: Sequence[float], weights: Sequence[float]) -> float:
    """Return the weighted slope of what the bores lack over their chord shares, which is w^2."""
    centre = _weighted(chords, weights)
    triples = list(zip(weights, chords, lacks, strict=True))
    return math.fsum(w * (x - centre) * lack for w, x, lack in triples) / math.fsum(
        w * (x - centre) ** 2 for w, x, _ in triples
    )


def _tells_apart(weights: Sequence[float], chords: Sequence[float], unknown_offset_mm: float) -> bool:
    """Tell whether the bores settle the offset better than its usual limit does."""
    centre = _weighted(chords, weights)
    spread = math.fsum(w * (x - centre) ** 2 for w, x in zip(weights, chords, strict=True))
    if spread <= 0:
        return False
    return math.sqrt(1 / math.fsum(weights) + centre**2 / spread) < unknown_offset_mm / math.sqrt(3)


def _level_terms(bores: Sequence[KnownBore], weights: Sequence[float], whose: Caliper) -> tuple[Term, Term]:
    """Return the doubt of a weighted mean over the bores: what their readings scatter, and their own tolerances."""
    total = math.fsum(weights)
    scatter = math.hypot(*(w / total * bore.scatter_u_mm for w, bore in zip(weights, bores, strict=True)))
    tolerance = math.hypot(*(w / total * bore.tolerance_mm for w, bore in zip(weights, bores, strict=True)))
    sizes = ", ".join(f"{bore.size_mm:g}" for bore in bores)
    read = Source(
        f"{whose.id}/offset", "jaws", label=f"{whose.name}, inside offset", why=f"readings of known bore {sizes} mm",
        dof=bores[0].dof,
    )  # fmt: skip
    made = limit(
        f"{whose.id}/bore", tolerance, "jaws", label=f"{whose.name}, known bore's tolerance",
        why=f"known bore {sizes} mm, ± {bores[0].tolerance_mm:g} mm",
    )  # fmt: skip
    return Term(read, scatter), made


def _slope_term(bores: Sequence[KnownBore], weights: Sequence[float], chords: Sequence[float], whose: Caliper) -> Term:
    centre = _weighted(chords, weights)
    spread = math.fsum(w * (x - centre) ** 2 for w, x in zip(weights, chords, strict=True))
    pulls = [w * (x - centre) / spread for w, x in zip(weights, chords, strict=True)]
    scatter = math.hypot(*(pull * bore.scatter_u_mm for pull, bore in zip(pulls, bores, strict=True)))
    u = 1 / math.sqrt(spread)
    dof = bores[0].dof * (u / scatter) ** 4 if scatter > 0 else math.inf
    label, why = f"{whose.name}, width of the inside jaws", f"learnt from {len(bores)} known bores"
    return Term(Source(f"{whose.id}/width", "jaws", label=label, why=why, dof=dof), u)


def _not_told_apart(
    bores: Sequence[KnownBore], weights: Sequence[float], unknown_offset_mm: float, whose: Caliper
) -> Jaws:
    """Lay what one size of bore lacks to the width of the jaws; the offset stays open within its limit.

    At the bore's own size that makes no difference; the farther a hole is from it, the more it does.
    """
    units = whose.units
    lack = _weighted([bore.size_mm - bore.mean_mm for bore in bores], weights)
    size = 1 / _weighted([1 / bore.size_mm for bore in bores], weights)
    level = _level_terms(bores, weights, whose)
    why = f"± {unknown_offset_mm:.3g} mm, one size of known bore cannot tell it from the jaws' width"
    label = f"{whose.name}, offset or width of the inside jaws"
    offset = limit(f"{whose.id}/offset or width", unknown_offset_mm, "jaws", label=label, why=why)
    either = Lever(offset, 1.0, -2 * size)
    if lack <= 0:
        levers = (*(Lever(term, 1.0, 0.0) for term in level), either)
        u_mm = math.hypot(*(term.u for term in level))
        return Jaws(lack, 0.0, levers, "", _too_large(bores, lack, units) if -lack > _SURE * u_mm else "")
    width = math.sqrt(max(size**2 - (size - lack) ** 2, 0.0))
    remark = (
        f"one size of known bore cannot tell jaw width from offset: {both_plain_text(width, units)} of width with no "
        f"offset and {both_fine_text(lack, units)} of offset with no width read it alike; check a bore of another "
        f"size, such as about {both_plain_text(_other_size_mm(size), units)}"
    )
    return Jaws(0.0, width, (*(Lever(term, 0.0, 2 * size) for term in level), either), remark)


def _other_size_mm(size_mm: float) -> float:
    """Return a bore size that is far enough from this one to tell more: a half, or twice where that is small."""
    return round(size_mm / 2) if size_mm >= 16 else round(size_mm * 2)


def _too_large(bores: Sequence[KnownBore], lack_mm: float, units: Units) -> str:
    over, size = both_fine_text(-lack_mm, units), both_fine_text(bores[0].size_mm, units)
    return (
        f"it reads {over} over the known bore of {size}, which flat jaws never do: look at its zero, swing it square "
        "across the bore, and make sure of the bore's size; then check again"
    )


def _backward(bores: Sequence[KnownBore], units: Units) -> str:
    small, large = (both_plain_text(one(b.size_mm for b in bores), units) for one in (min, max))
    return (
        f"it lacks more in the bore of {large} than in the one of {small}, which no width of jaws does: "
        "one of the bores is not the size it is said to be, or was read askew; check both again"
    )


def _misfit(bores: Sequence[KnownBore], offset_mm: float, squared: float, units: Units) -> str:
    """Name the bore that fits the others worst, where it is beyond three standard uncertainties."""
    width = math.sqrt(squared)
    misses = [(abs(_chord_mm(b.size_mm, width) - offset_mm - b.mean_mm) / b.u_mm, b) for b in bores]
    worst, bore = max(misses, key=lambda miss: miss[0])
    if len(bores) < 3 or worst <= _NOT_BY_CHANCE:
        return ""
    size = both_fine_text(bore.size_mm, units)
    return f"the known bore of {size} does not go with the others; check it again or strike it"
