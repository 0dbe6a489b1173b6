"""The sample's offers, and the recommendations kept from them: the worked example's four cylinders and a few odd ones.

Sellers and prices are invented. The recommendations are kept by the program itself, so they come out as it words them.
"""

import datetime
from collections.abc import Sequence
from pathlib import Path

import tomli_w

from fieldlog.app.retrofits import recommendation_of
from fieldlog.quantity.lengths import parse_length
from fieldlog.records.offer import InHand
from fieldlog.retrofit.offers.compare import compare_all, job_of
from fieldlog.retrofit.offers.corners import setups_of
from fieldlog.store.hitch_reader import read_hitch_file, read_hydraulics_file, read_implements_file
from fieldlog.store.offers import add_measured, read_offers
from fieldlog.store.reader import read_logbook, read_machine
from fieldlog.store.retrofits import keep
from fieldlog.wear.assess import assess_machine

_PINS = {"rod_end_hole": "3/4 in", "cap_end_hole": "3/4 in"}
OFFERS: dict[str, dict[str, object]] = {
    "a-203-short": {
        "name": "A, short 203",
        "supplier": "farm sale, last row",
        "price": "140 crowns",
        "closed": "21 in",
        "open": "29 in",
        "stroke": "8 in",
        "bore": "2 in",
        "rod": "1-1/8 in",
        "rod_end": "cross tube",
        "rod_end_hole": "3/4 in",
        "rod_end_width": "44 mm",
        "cap_end": "cross tube",
        "cap_end_hole": "3/4 in",
        "cap_end_width": "44 mm",
        "rated_pressure": "3000 psi",
        "ports": "9/16-18 O-ring, on top",
        "check_valve": "double",
        "weight": "11 kg",
    },
    "b-203-ball": {
        "name": "B, 203 with balls",
        "supplier": "the shop in town",
        "price": "215 crowns",
        "closed": "23 in",
        "open": "31 in",
        "stroke": "8 in",
        "bore": "2 in",
        "rod": "1-1/8 in",
        "rod_end": "ball",
        "cap_end": "ball",
        **_PINS,
        "rated_pressure": "210 bar",
        "check_valve": "double",
    },
    "c-152-kit": {
        "name": "C, 152 kit",
        "supplier": "mail order, no phone",
        "price": "99 crowns",
        "closed": "20 in",
        "open": "26 in",
        "stroke": "6 in",
        "rod_end": "clevis",
        "cap_end": "clevis",
        "rod_end_hole": "1 in",
        "cap_end_hole": "3/4 in",
        "check_valve": "none",
    },
    "d-203-long": {
        "name": "D, 203 long",
        "supplier": "neighbour over the brook",
        "price": "for a day's digging",
        "closed": "24 in",
        "open": "32 in",
        "stroke": "8 in",
        "rod_end": "swivel",
        "cap_end": "swivel",
        "rod_end_hole": "19.4 mm",
        "cap_end_hole": "25.7 mm",
        "rated_pressure": "20.7 MPa",
        "check_valve": "single",
    },
    "odd-three-numbers": {
        "name": "Three numbers",
        "supplier": "card in the feed store",
        "price": "120 crowns or offer",
        "closed": "545 mm",
        "open": "760 mm",
        "stroke": "203 mm",
        **_PINS,
        "notes": "The card says nothing of the check valve.",
    },
    "e-204-used": {
        "name": "E, 204 used",
        "supplier": "farm sale, under the bench",
        "price": "60 crowns",
        "closed": "541 mm",
        "open": "745 mm",
        "stroke": "204 mm",
        "rod_end": "plain eye",
        "cap_end": "plain eye",
        **_PINS,
        "check_valve": "none",
        "notes": "Rod dull but not pitted.",
    },
    "tilt-102": {
        "name": "Tilt 102",
        "supplier": "the shop in town",
        "price": "160 crowns",
        "closed": "425 mm",
        "open": "527 mm",
        "stroke": "102 mm",
        "rod_end": "clevis",
        "cap_end": "clevis",
        "rod_end_hole": "22.6 mm",
        "cap_end_hole": "3/4 in",
        "check_valve": "double",
        "rated_pressure": "3000 psi",
    },
    "stroke-only": {"name": "Stroke only", "supplier": "heard at the mill", "stroke": "8 in", "price": "cheap"},
}
_TAPED_ON = datetime.date(2026, 11, 14)
_KEPT_ON = datetime.date(2026, 11, 16)
_DAYS = datetime.timedelta(days=4)


def tape_as_set(folder: Path, links: Sequence[str]) -> None:
    """Tape the links of the hill tractor as they are set for work, in a round of its own."""
    set_mm = {"top-link": (654.0, 40.3), "right-lift-rod": (476.0, 42.1)}
    head = f'format = 1\ndate = {_TAPED_ON}\nwho = "nell"\ninstrument = "blue"\ntape = "tape-5m"\n'
    text, minute = head, 10
    for link in links:
        centres_mm, holes_mm = set_mm.get(link, (0.0, 0.0))
        for way, half in (("outside", 0.5), ("inside", -0.5)) if centres_mm else ():
            size = f"{round(centres_mm + half * holes_mm)} mm"
            entry = {"link": link, "size": size, "way": way, "state": "as set", "at": f"16:{minute}:20"}
            text += f"\n[[length]]\n{tomli_w.dumps(entry)}"
            minute += 1
    (folder / "hill-tractor" / "rounds" / f"{_TAPED_ON}-nell.toml").write_text(text, encoding="utf-8")


def make_offers(folder: Path) -> None:
    """Write the offers, keep two recommendations, then measure one of the two cylinders: it is another length."""
    place = folder / "offers"
    place.mkdir(exist_ok=True)
    for name, table in OFFERS.items():
        (place / f"{name}.toml").write_text(tomli_w.dumps({"format": 1, **table}), encoding="utf-8")
    for old in (folder / "hill-tractor" / "retrofits").glob("*.toml"):
        old.unlink()
    _keep(folder, "top-link", "e-204-used", "Cheap, and a check valve can be had for it.")
    _keep(folder, "lift-rod", "tilt-102", "Level at mid stroke.")
    closed, opened = parse_length("548 mm"), parse_length("752 mm")
    add_measured(folder, "e-204-used", InHand(day=_KEPT_ON + _DAYS, who="nell", closed=closed, open=opened))
    _keep(folder, "top-link", "a-203-short", "Closes short, which costs nothing. Looked at twice.", _KEPT_ON + _DAYS)


def _keep(folder: Path, link: str, offer: str, words: str, day: datetime.date = _KEPT_ON) -> None:
    logbook = read_logbook(folder).logbook
    log = read_machine(folder, "hill-tractor", logbook).log
    state = assess_machine(log, logbook, day)
    parts, implements = read_hitch_file(folder, "hill-tractor").parts, read_implements_file(folder).implements
    hydraulics = read_hydraulics_file(folder, "hill-tractor")
    job = job_of(state, link, setups_of(state, parts, implements), hydraulics)
    assert job is not None
    order = compare_all(job, read_offers(folder).offers)
    chosen = next(item for item in order if item.offer.id == offer)
    keep(folder, "hill-tractor", recommendation_of(job, chosen, order, day, ("nell", words), logbook.units))
