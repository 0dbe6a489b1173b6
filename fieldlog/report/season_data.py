"""A season as data. Keys are added, never renamed."""

from collections.abc import Mapping

from fieldlog.records.entries import Event
from fieldlog.report.season_view import grease_sentences, wear_sentence
from fieldlog.report.size_data import size_data
from fieldlog.wear.season import FleetSeason, JointSeason, MachineSeason, Wear

Data = Mapping[str, object]


def season_data(fleet: FleetSeason) -> Data:
    """Return a season: its days, and each machine's joints with wear, grease, what was done and put off."""
    season = fleet.season
    return {
        "start": season.start.isoformat(),
        "end": season.end.isoformat(),
        "origin": season.origin,
        "machines": [_machine(machine) for machine in fleet.machines],
    }


def _machine(machine: MachineSeason) -> Data:
    return {
        "id": machine.state.machine.id,
        "work_hours": machine.work_hours,
        "joints": [_joint(joint) for joint in machine.joints],
    }


def _joint(season: JointSeason) -> Data:
    grease = season.grease
    return {
        "id": season.state.joint.id,
        "wear": _wear(season.wear),
        "no_wear": season.no_wear,
        "season_before": _wear(season.before),
        "rate_differs": season.is_other_rate,
        "grease": {
            "every": grease.every.typed if grease.every is not None else None,
            "times": grease.times,
            "longest": round(grease.longest, 1) if grease.longest is not None else None,
            "unit": grease.unit,
            "kept": grease.is_kept,
            "kept_before": season.kept_before,
            "habit": event_data(grease.habit) if grease.habit is not None else None,
        },
        "done": [event_data(event) for event in season.done],
        "put_off": [event_data(event) for event in season.put_off],
        "sentences": [wear_sentence(season, "mm"), *grease_sentences(season, "mm")],
    }


def _wear(wear: Wear | None) -> Data | None:
    if wear is None:
        return None
    return {
        "from": wear.first.isoformat(),
        "to": wear.last.isoformat(),
        "work": wear.work,
        "change": size_data(wear.change),
        "per_100": size_data(wear.rate),
    }


def event_data(event: Event) -> Data:
    """Return one thing done or put off."""
    return {"day": event.day.isoformat(), "who": event.who, "deed": event.deed, "text": event.text}
