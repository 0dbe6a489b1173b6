"""Which measurement would narrow a number most: the source of doubt that leaves least when it is gone."""

import math
from dataclasses import replace

from fieldlog.measure.estimate import Estimate
from fieldlog.measure.figure import Figure, FigurePart, as_figure
from fieldlog.measure.rounding import half_up, places_for
from fieldlog.records.quantities import Units
from fieldlog.report.figure_text import shown_in
from fieldlog.report.lines import Line, wrapped
from fieldlog.retrofit.carried import USUAL

_FEW_DOF = 30.0  # scatter of readings; more of them tell more, where the rest is a limit


def source_of(part: FigurePart) -> str:
    """Return what a part belongs to: parts of one measurement share the words before a colon in their names."""
    return part.name.partition(": ")[0]


def widest_source(figure: Figure) -> tuple[str, float, Figure] | None:
    """Return the source with the largest share of the variance, that share, and the figure without it.

    None where there is no doubt, or where all of it has one source.
    """
    sums: dict[str, float] = {}
    for part in figure.parts:
        sums[source_of(part)] = sums.get(source_of(part), 0.0) + part.u**2
    whole = math.fsum(sums.values())
    if whole <= 0 or sum(share > 0 for share in sums.values()) < 2:
        return None
    name = max(sums, key=lambda source: sums[source])
    rest = tuple(part for part in figure.parts if source_of(part) != name)
    return name, sums[name] / whole, replace(figure, parts=rest, joint_dof=None)


def narrowing_lines(value: Estimate | Figure, units: Units, width: int) -> tuple[Line, ...]:
    """Return one sentence: what to know better first, and what would be left without it."""
    figure = as_figure(value) if isinstance(value, Estimate) else value
    found = widest_source(figure)
    if found is None:
        return ()
    name, share, rest = found
    shown = shown_in(figure.unit, units)[0]
    expanded = rest.expanded * shown.factor
    left = f"{half_up(expanded, places_for(expanded, shown.finest))} {shown.unit}".rstrip()
    text = f"Narrowed most by {name}, {share * 100:.0f} % of it{_advice(figure, name)}; without it ± {left} is left."
    return wrapped(text, width, "", "strong")


def _advice(figure: Figure, name: str) -> str:
    largest = max((part for part in figure.parts if source_of(part) == name), key=lambda part: part.u)
    if largest.source.startswith(USUAL):
        return " (a usual figure: measure it)"
    if largest.name.startswith("scatter of the days round"):
        return " (more measuring days)"
    if "scatter" in largest.name and largest.dof < _FEW_DOF:
        return " (more readings)"
    return ""
