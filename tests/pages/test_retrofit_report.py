"""Offers and kept recommendations in the report: as data and as lines."""

import json
from pathlib import Path

from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.app.retrofits import retrofits_of
from fieldlog.sheets.retrofits import offer_data, retrofit_data, retrofit_lines
from fieldlog.sheets.trend_data import plain
from fieldlog.store.files import sample_folder


def test_the_data_say_what_the_screens_say() -> None:
    """Offers with their figures, each link's offers ranked with points, kept ones with why they are stale."""
    session = OpenLogbook(sample_folder())
    found = [retrofits_of(session, machine_id) for machine_id in session.book.machine_ids]
    data = json.loads(json.dumps(plain([retrofit_data(item, "mm") for item in found]), allow_nan=False))
    offers = {offer["id"]: offer for offer in json.loads(json.dumps([offer_data(o) for o in session.offers()]))}
    used = offers["e-204-used"]["figures"]["closed"]
    assert (used["mm"], used["source"]) == (548.0, "measured")
    (machine,) = [item for item in data if item["kept"]]
    top_link = next(link for link in machine["links"] if link["link"] == "top-link")
    verdicts = {item["offer"]: item["verdict"] for item in top_link["offers"]}
    assert verdicts["c-152-kit"] == verdicts["d-203-long"] == "no"
    assert verdicts["odd-three-numbers"] == "unclear"
    assert all(item["points"][0]["said"] for item in top_link["offers"])
    stale = {item["id"]: item["stale"] for item in machine["kept"]}
    assert sum(1 for reasons in stale.values() if reasons) == 1


def test_the_lines_fit_and_name_the_stale_one() -> None:
    """No line wider than asked, at any width."""
    session = OpenLogbook(sample_folder())
    found = [retrofits_of(session, "hill-tractor")]
    for width in (40, 60, 80):
        lines = [row.text for row in retrofit_lines(found, "mm", width)]
        assert max(map(len, lines)) <= width
        assert any(line.startswith("▒░ stale") for line in lines)


def test_a_logbook_without_offers_says_nothing_of_them(tmp_path: Path) -> None:
    """No heading without a line under it."""
    session = OpenLogbook(sample_folder())
    found = [retrofits_of(session, "mini-digger")]
    assert retrofit_lines(found, "mm", 80) == ()
