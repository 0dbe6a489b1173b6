"""From an offer as it is reckoned with, and a tractor's hydraulics, to what force and oil are worked out from."""

from collections.abc import Mapping

from fieldlog.records.hydraulics import Hydraulics
from fieldlog.records.offer import Offer
from fieldlog.retrofit.at_work import OfferedCylinder, Supply
from fieldlog.retrofit.cylinder import BAR_PER_MPA
from fieldlog.retrofit.figures import OfferFigure


def offered_cylinder(offer: Offer, figures: Mapping[str, OfferFigure]) -> OfferedCylinder:
    """Return the offer's figures in mm and MPa; the stroke from open less closed where it is not stated."""

    def mm(key: str) -> float | None:
        return figures[key].mm if key in figures else None

    stroke, closed, opened = mm("stroke"), mm("closed"), mm("open")
    if stroke is None and closed is not None and opened is not None:
        stroke = opened - closed
    rated = offer.rated_pressure.bar / BAR_PER_MPA if offer.rated_pressure is not None else None
    return OfferedCylinder(mm("bore"), mm("rod"), stroke, opened, rated, offer.check_valve)


def supply_of(hydraulics: Hydraulics) -> Supply:
    """Return what a tractor gives, in MPa, L/min and mm."""
    return Supply(
        relief_mpa=hydraulics.relief.bar / BAR_PER_MPA if hydraulics.relief is not None else None,
        flow_l_per_min=hydraulics.pump_flow.l_per_min if hydraulics.pump_flow is not None else None,
        remotes=hydraulics.remotes,
        hose_mm=float(hydraulics.hose_inside.mm) if hydraulics.hose_inside is not None else None,
    )
