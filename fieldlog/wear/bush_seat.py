"""Whether a bush moves in its bore: a question of its own at every inspection, since a bush that turns eats the eye."""

import datetime

from fieldlog.records.entries import Sign
from fieldlog.records.frozen import dataclass
from fieldlog.records.machine import Hole
from fieldlog.wear.index import Index
from fieldlog.wear.spans import bore_cuts, moment

TIGHT: Sign = "bush sits tight"
MOVES: Sign = "bush turns in its bore"


@dataclass(frozen=True, slots=True)
class BushSeat:
    """The last answer since the bush was made new: whether it moves, and on which day; None when nobody said."""

    moves: bool | None
    day: datetime.date | None


def bush_seat(hole: Hole, index: Index) -> BushSeat | None:
    """Return what was last said of a bush; None for a hole without one."""
    if hole.kind != "bushed":
        return None
    cut = max(bore_cuts(index.events, hole, index.machine), default=None)
    about = [
        note
        for note in index.notes
        if note.hole == hole.id and (TIGHT in note.signs or MOVES in note.signs) and (cut is None or moment(note) > cut)
    ]
    last = max(about, key=moment, default=None)
    return BushSeat(MOVES in last.signs, last.day) if last is not None else BushSeat(None, None)
