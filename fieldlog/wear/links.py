"""A link's pin-to-pin lengths as last taped."""

from collections.abc import Mapping

from fieldlog.measure.lengths import LinkLength, link_length
from fieldlog.records.entries import LinkState
from fieldlog.records.machine import Link
from fieldlog.wear.index import Index
from fieldlog.wear.states import HoleState, LinkReport

_MIXED_UP = "It opens shorter than it closes: closed and open are mixed up, or an edge is wrong."


def link_report(link: Link, holes: Mapping[str, HoleState], index: Index) -> LinkReport:
    """Return what is known about a link: its newest taping in each state."""
    near, far = (holes[end].worn if end in holes else None for end in (link.near_hole, link.far_hole))
    readings = index.lengths.get(link.id, [])

    def latest(state: LinkState) -> LinkLength | None:
        taped = [reading for reading in readings if reading.state == state]
        newest = max(((reading.day, reading.round) for reading in taped), default=None)
        return link_length([r for r in taped if (r.day, r.round) == newest], near, far, index.instruments)

    closed, opened, as_set = latest("closed"), latest("open"), latest("as set")
    named = (("Closed", closed), ("Open", opened), ("As set", as_set))
    remarks = [f"{word}: {remark}" for word, length in named if length for remark in length.remarks]
    if closed and opened and closed.centres and opened.centres:
        remarks += [_MIXED_UP] if opened.centres.value_mm < closed.centres.value_mm else []
    return LinkReport(link, closed, opened, as_set, tuple(remarks))
