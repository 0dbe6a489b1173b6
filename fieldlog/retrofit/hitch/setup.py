"""A tractor's hitch and an implement on it, put together from the records: figures, holes to choose from, and links.

`setup_of` makes a `HitchSetup`; a `Setting` says which holes and lengths are looked at, and `linkage_of` gives the
linkage for it. Nothing here is stored; trying another hole is another `Setting`.

How far a written figure is trusted is common practice, kept beside what uses it: weight, centre and push in
`retrofit/hitch/loads.py`, relief, flow and hose in `offered.py`, what a cutter keeps in `repair_numbers.py`. A
seller's figure is a limit: within it and never beyond.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType

from fieldlog.measure.lengths import LinkLength
from fieldlog.quantity.lengths import Length
from fieldlog.records.hitch import Directed, Hitch, HitchParts, Implement, Implements
from fieldlog.records.machine import HitchCategory, LinkPosition, Machine, shown_name
from fieldlog.retrofit.carried import (
    PLUMBED_MM,
    TAPED_MM,
    Given,
    Values,
    measured,
    of_estimate,
    own_limit,
    set_as,
    usual_figure,
)
from fieldlog.retrofit.hitch.clearances import ClearPoint
from fieldlog.retrofit.hitch.forces import implement_figures
from fieldlog.retrofit.hitch.plane import Linkage, Offset, Point
from fieldlog.standards.hitch import usual_hitch
from fieldlog.wear.states import LinkReport

FIGURE_NAMES: Mapping[str, str] = MappingProxyType(
    {
        "lower_pivot_behind": "lower link pivot, behind the axle",
        "lower_pivot_up": "lower link pivot, height",
        "lower_link": "lower link, pivot to ball",
        "bracket_behind": "top link hole, behind the axle",
        "bracket_up": "top link hole, height",
        "arm_pivot_behind": "lift arm pivot, behind the axle",
        "arm_pivot_up": "lift arm pivot, height",
        "lift_arm": "lift arm, pivot to rod",
        "lift_rod": "lift rod",
        "rod_hole": "lift rod hole, from the lower link's pivot",
        "ball_span": "span of the balls",
        "ball_lowest": "balls, lowest",
        "ball_highest": "balls, highest",
        "axle_up": "rear axle, height",
        "tyre_radius": "rear tyre, radius",
        "pto_behind": "PTO shaft's joint, behind the axle",
        "pto_up": "PTO shaft's joint, height",
        "cab_behind": "cab, behind the axle",
        "mast": "mast",
        "top_link": "top link",
    }
)
_FROM_HITCH = tuple(key for key in FIGURE_NAMES if key not in {"bracket_behind", "bracket_up", "rod_hole", "mast"})
_SAME_MM = 1e-6
_TRIED_LINK = "tried/top_link"
_PLUMBED = ("_behind", "_up", "_lowest", "_highest")


@dataclass(frozen=True, slots=True)
class Choice:
    """A hole that can be used, and the figures it brings."""

    id: str
    name: str
    figures: Mapping[str, Given]


@dataclass(frozen=True, slots=True)
class LinkRange:
    """A link, or a cylinder in its place: its closed and open lengths between the pins, and how sure they are."""

    name: str
    closed: Given
    open: Given


@dataclass(frozen=True, slots=True)
class HitchSetup:
    """Everything a hitch is worked out from. `ranges` are the top link and whatever could take its place.

    `on_it` are the figures of what hangs on it: weight, centre of gravity, push, PTO shaft. `heights_hole` is the
    lift rod's hole in which the balls' heights were taped.
    """

    category: HitchCategory
    figures: Mapping[str, Given]
    top_holes: tuple[Choice, ...]
    rod_holes: tuple[Choice, ...]
    mast_holes: tuple[Choice, ...]
    ranges: tuple[LinkRange, ...]
    rod_range: LinkRange | None
    top_link_set: Given | None
    implement: Implement | None
    points: tuple[ClearPoint, ...]
    start: tuple[int, int, int]
    category_is_known: bool = True
    on_it: Mapping[str, Given] = field(default_factory=dict)
    heights_hole: int = 0


@dataclass(frozen=True, slots=True)
class Setting:
    """What is looked at: ball height, top link, which holes, the levelling rod's length, which link or cylinder."""

    height_mm: float
    top_link_mm: float
    top_hole: int
    mast_hole: int
    rod_hole: int
    rod_mm: float
    link: int = 0


def setup_of(
    machine: Machine, parts: HitchParts, implements: Implements, implement_id: str, links: Sequence[LinkReport]
) -> HitchSetup | None:
    """Return a machine's hitch with one implement on it; None when nothing says that the machine has a hitch."""
    if not (machine.hitch_category or parts.hitch or parts.top_holes or parts.rod_holes):
        return None
    implement = next((item for item in implements.implements if item.id == implement_id), None)
    category: HitchCategory = machine.hitch_category or (implement.category if implement else None) or "1"
    hitch = parts.hitch or Hitch()
    usual = _usual_figures(category)
    figures = {
        key: _figure(machine, hitch, key, usual)
        for key in _FROM_HITCH
        if key in usual or _given(hitch, key) is not None
    }
    top_holes = _top_holes(machine, parts, usual)
    rod_holes = _rod_holes(machine, parts, usual)
    mast_holes = _mast_holes(implements, implement, usual, category)
    top_links = tuple(link for link in links if link.link.position == "top link")
    return HitchSetup(
        category=category,
        figures=figures,
        top_holes=top_holes,
        rod_holes=rod_holes,
        mast_holes=mast_holes,
        ranges=tuple(found for link in top_links if (found := _range(machine, link)) is not None),
        rod_range=_rod_range(machine, links),
        top_link_set=_set_length(machine, top_links),
        implement=implement,
        points=_points(implements, implement),
        start=(
            _index(top_holes, hitch.top_hole, _highest(top_holes)),
            _index(mast_holes, implement.mast_hole if implement is not None else "", 0),
            _index(rod_holes, hitch.rod_hole, 0),
        ),
        category_is_known=machine.hitch_category is not None,
        on_it=implement_figures(implement),
        heights_hole=_index(rod_holes, hitch.heights_hole or hitch.rod_hole, 0),
    )


def figures_for(setup: HitchSetup, setting: Setting) -> dict[str, Given]:
    """Return all figures for a setting: those of the machine, of the chosen holes, and the link as it is set."""
    chosen = (
        setup.top_holes[setting.top_hole], setup.mast_holes[setting.mast_hole], setup.rod_holes[setting.rod_hole]
    )  # fmt: skip
    found = dict(setup.figures)
    for choice in chosen:
        found.update(choice.figures)
    found["top_link"] = _tried_link(setup, setting)
    return found


def linkage_of(values: Values) -> Linkage:
    """Return the linkage of plain numbers, keyed as in `FIGURE_NAMES`."""
    return Linkage(
        lower_pivot=Point(values["lower_pivot_behind"], values["lower_pivot_up"]),
        lower_link_mm=values["lower_link"],
        bracket=Point(values["bracket_behind"], values["bracket_up"]),
        top_link_mm=values["top_link"],
        mast_mm=values["mast"],
        arm_pivot=Point(values["arm_pivot_behind"], values["arm_pivot_up"]),
        lift_arm_mm=values["lift_arm"],
        rod_mm=values["lift_rod"],
        rod_hole_mm=values["rod_hole"],
        ball_span_mm=values["ball_span"],
    )


def usual_names(figures: Mapping[str, Given]) -> tuple[str, ...]:
    """Return what is not measured but taken from the category, in words."""
    return tuple(figure.name for figure in figures.values() if figure.origin == "usual")


def _usual_figures(category: HitchCategory) -> dict[str, Given]:
    return {
        key: usual_figure(size.mm, size.half_mm, FIGURE_NAMES[key], given_id=f"usual/{category}/{key}")
        for key, size in usual_hitch(category).items()
    }


def _given(hitch: Hitch, key: str) -> Length | Directed | None:
    value = getattr(hitch, key, None)
    return value if isinstance(value, Length | Directed) else None


def _figure(machine: Machine, hitch: Hitch, key: str, usual: Mapping[str, Given]) -> Given:
    given = _given(hitch, key)
    if given is None:
        return usual[key]
    tape_mm = PLUMBED_MM if key.endswith(_PLUMBED) else TAPED_MM
    return measured(given, f"{machine.id}/hitch/{key}", FIGURE_NAMES[key], tape_mm)


def _top_holes(machine: Machine, parts: HitchParts, usual: Mapping[str, Given]) -> tuple[Choice, ...]:
    found = tuple(
        Choice(
            hole.id,
            hole.name or hole.id,
            {
                key: measured(size, f"{machine.id}/top-hole/{hole.id}/{key}", FIGURE_NAMES[key], PLUMBED_MM)
                for key, size in (("bracket_behind", hole.behind), ("bracket_up", hole.up))
            },
        )
        for hole in parts.top_holes
    )
    return found or (Choice("", "usual", {key: usual[key] for key in ("bracket_behind", "bracket_up")}),)


def _rod_holes(machine: Machine, parts: HitchParts, usual: Mapping[str, Given]) -> tuple[Choice, ...]:
    found = tuple(
        Choice(
            hole.id,
            hole.name or hole.id,
            {
                "rod_hole": measured(
                    hole.from_pivot, f"{machine.id}/rod-hole/{hole.id}", FIGURE_NAMES["rod_hole"], TAPED_MM
                )
            },
        )
        for hole in parts.rod_holes
    )
    return found or (Choice("", "usual", {"rod_hole": usual["rod_hole"]}),)


def _mast_holes(
    implements: Implements, implement: Implement | None, usual: Mapping[str, Given], category: HitchCategory
) -> tuple[Choice, ...]:
    holes = implements.masts_of(implement.id) if implement is not None else ()
    found = tuple(
        Choice(
            hole.id,
            hole.name or hole.id,
            {
                "mast": measured(
                    hole.height, f"implement/{hole.implement}/mast/{hole.id}", FIGURE_NAMES["mast"], TAPED_MM
                )
            },
        )
        for hole in holes
    )
    own = implement.category if implement is not None else None
    stand_in = usual if own in {None, category} else _usual_figures(own or category)
    return found or (Choice("", "usual", {"mast": stand_in["mast"]}),)


def _points(implements: Implements, implement: Implement | None) -> tuple[ClearPoint, ...]:
    """Return an implement's corners; of two with one name each is called by its id as well."""
    if implement is None:
        return ()
    points = implements.points_of(implement.id)
    names = [point.name or point.id for point in points]
    unlike = [name if names.count(name) == 1 else f"{name} ({p.id})" for name, p in zip(names, points, strict=True)]
    return tuple(
        ClearPoint(
            name,
            Offset(float(point.behind.mm), float(point.above.mm)),
            point.in_track == "yes",
            f"{name}: {point.behind.typed}, {point.above.typed}",
            f"implement/{implement.id}/point/{point.id}",
        )
        for name, point in zip(unlike, points, strict=True)
    )


def _range(machine: Machine, report: LinkReport) -> LinkRange | None:
    name, link_id = shown_name(report.link), f"{machine.id}/{report.link.id}"
    closed, opened = (
        _taped(length, f"{name}, {state}", f"{link_id}/{state}")
        for length, state in ((report.closed, "closed"), (report.open, "open"))
    )
    if closed is None or opened is None or closed.mm >= opened.mm:
        return None
    return LinkRange(name, closed, opened)


def _taped(length: LinkLength | None, name: str, given_id: str) -> Given | None:
    if length is None or length.centres is None:
        return None
    return of_estimate(length.centres, name, length.keys, given_id=given_id)


def _rod_range(machine: Machine, links: Sequence[LinkReport]) -> LinkRange | None:
    position: LinkPosition = "lift rod"
    return next((found for link in links if link.link.position == position and (found := _range(machine, link))), None)


def _set_length(machine: Machine, links: Sequence[LinkReport]) -> Given | None:
    found = (_taped(link.as_set, FIGURE_NAMES["top_link"], f"{machine.id}/{link.link.id}/as set") for link in links)
    return next((length for length in found if length is not None), None)


def _tried_link(setup: HitchSetup, setting: Setting) -> Given:
    """A length that is tried is as sure as the taping of the link that would be set to it."""
    name, length_mm, taped = FIGURE_NAMES["top_link"], setting.top_link_mm, setup.top_link_set
    if taped is not None and abs(taped.mm - length_mm) < _SAME_MM:
        return taped
    if setting.link >= len(setup.ranges):
        words = name, "tape between centres", f"± {TAPED_MM:g} mm, common practice"
        term = own_limit(_TRIED_LINK, TAPED_MM, "setting", words)
        return Given(length_mm, (term,), name, typed=(f"{name}: tried at {length_mm:.0f} mm",), id=_TRIED_LINK)
    link = setup.ranges[setting.link]
    surest = max((link.closed, link.open), key=lambda end: end.u)
    told = f"{name}: tried at {length_mm:.0f} mm, to be set as surely as this end was taped: {surest.name}"
    terms = set_as(surest, _TRIED_LINK, name)
    return Given(length_mm, terms, name, keys=surest.keys, typed=(told, *surest.typed), id=_TRIED_LINK)


def _highest(holes: Sequence[Choice]) -> int:
    return max(range(len(holes)), key=lambda number: holes[number].figures["bracket_up"].mm)


def _index(choices: Sequence[Choice], wanted: str, otherwise: int) -> int:
    return next((number for number, choice in enumerate(choices) if wanted and choice.id == wanted), otherwise)
