"""Trends and rates in the printed report, on the pages and as data."""

import datetime
import json
from collections.abc import Mapping
from typing import cast

import pytest

from fieldlog.app.fleet import fleet_of
from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.pages.joint import hole_trend_lines, joint_trend_lines, measured_sentence
from fieldlog.sheets.data import Asked, pieces, report_data
from fieldlog.sheets.printed import Whole, head_lines, whole_machine
from fieldlog.store.files import sample_folder
from fieldlog.store.reader import read_logbook, read_machine
from fieldlog.wear.assess import assess_machine
from fieldlog.wear.states import MachineState
from fieldlog.wear.trends.rates import Beside, rate_rows
from tests.wear.test_trend import measured, trend

TODAY = datetime.date(2026, 11, 25)


class DatedLogbook(OpenLogbook):
    """A logbook opened on that day."""

    def today(self) -> datetime.date:
        """Return that day."""
        return TODAY


def fleet() -> list[MachineState]:
    """The sample's machines."""
    book = read_logbook(sample_folder())
    logs = [read_machine(sample_folder(), name, book.logbook).log for name in book.machine_ids]
    return [assess_machine(log, book.logbook, TODAY) for log in logs]


def test_the_sentence_says_the_chance_and_what_to_do() -> None:
    """'Measured 0.97 ± 0.06, limit 1.0 (manual): about 84 % chance it is still under - measure again'."""
    near = measured_sentence(trend(measured((0,), (0.97,))), "mm")
    assert near.startswith("Measured 0.97 ± 0.0")
    assert "limit 1.00 mm (manual p. 12): about " in near
    assert near.endswith("chance that it is still under its limit - measure again.")
    far = measured_sentence(trend(measured((0,), (0.3,))), "mm")
    assert far.endswith("more than 99 % chance that it is still under its limit.")
    inches = measured_sentence(trend(measured((0,), (0.97,))), "in")
    assert inches.startswith("Measured 0.038 ± 0.00")


@pytest.mark.parametrize("width", [58, 78])
def test_pages_and_report_fit_their_width(width: int) -> None:
    """No line of any finding, hole or report is wider than the page."""
    states = fleet()
    rows = [row for state in states for row in rate_rows(state)]
    book = DatedLogbook(sample_folder(), is_still=True)
    for state in states:
        for joint in state.joints:
            lines = list(joint_trend_lines(joint, Beside(state.machine.id, rows), "mm", width))
            for hole in joint.holes:
                lines += hole_trend_lines(hole, joint.trends, "mm", width)
            assert max((len(line.text) for line in lines), default=0) <= width, (state.machine.id, joint.joint.id)
    lines = list(head_lines(book.logbook, fleet_of(book, book.book.machine_ids), TODAY, width))
    lines += (line for state in states for line in whole_machine(Whole(state, rows, {}), "mm", width))
    text = "\n".join(line.text for line in lines)
    assert "Rates side by side" in text
    assert "Reaches its limit" in text
    assert "Measure again by" in text


def test_the_data_hold_what_the_sentences_say() -> None:
    """Rate, forecast with dates, points, marks and rates of the fleet; it is valid JSON without infinities."""
    states = fleet()
    book = DatedLogbook(sample_folder(), is_still=True)
    data = json.loads("".join(pieces(report_data(book, Asked(book.book.machine_ids)))))
    joints = [joint for machine in data["machines"] for joint in machine["joints"]]
    trends = [found for joint in joints for found in joint["trends"]]
    assert {found["of"] for found in trends} >= {"clearance", "bore", "pin"}
    state = next(state for state in states if state.machine.id == "small-loader")
    joint = next(joint for joint in state.joints if joint.joint.id == "bucket-right")
    known = joint.trends[0]
    found = next(
        cast("Mapping[str, object]", item)
        for machine in data["machines"]
        if machine["id"] == "small-loader"
        for one in machine["joints"]
        if one["id"] == "bucket-right"
        for item in one["trends"]
        if item["of"] == "clearance"
    )
    assert known.line is not None
    assert known.renew is not None
    assert cast("dict[str, float]", found["rate"])["mm_per_100"] == pytest.approx(100 * known.line.slope, abs=1e-6)
    reached = cast("dict[str, dict[str, object]]", found["limit_reached"])
    assert reached["earliest"]["at"] == pytest.approx(known.renew.earliest, abs=1e-5)
    assert str(reached["latest"]["day"]).startswith("20")
    assert len(cast("list[object]", found["points"])) == 7
    assert any("Wears 0.0" in str(text) for text in cast("list[object]", found["sentences"]))
    rates = {(row["machine"], row["joint"]): row for row in data["rates"]}
    assert rates["small-loader", "arm-right"]["used_mm_per_100"] is not None
    assert all("outlook" in item and "left" in item for item in data["due"])
