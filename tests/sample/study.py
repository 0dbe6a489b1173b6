"""The sample's gauge study: both people, the blue caliper, five holes off the machines, three times each."""

import datetime
import random
from pathlib import Path

import tomli_w

from fieldlog.records.checks import Study, plan

_HOLES = {"spare eye": 19.44, "bearing ring 20": 19.995, "old clevis": 22.83, "bush in the vice": 25.12, "hub": 30.08}
_LEVELS_MM = {"nell": 0.004, "tom": -0.006}
_SCATTER_MM = {"nell": 0.013, "tom": 0.017}


def make_study(folder: Path, seed: int) -> None:
    """Write studies/2026-03-14-blue.toml."""
    dice = random.Random(f"{seed} study")
    day = datetime.date(2026, 3, 14)
    study = Study(f"{day.isoformat()}-blue", day, "blue", "nell, tom", ", ".join(_HOLES), 3)
    head = {"format": 1, "date": day, "instrument": "blue", "people": study.people, "holes": study.holes, "trials": 3}
    text, second = tomli_w.dumps(head), 10 * 3600
    for slot in plan(study):
        second += dice.randrange(20, 60)
        read = _HOLES[slot.hole] + _LEVELS_MM[slot.person] + dice.gauss(0, _SCATTER_MM[slot.person])
        at = f"{second // 3600:02d}:{second // 60 % 60:02d}:{second % 60:02d}"
        reading = {"person": slot.person, "hole": slot.hole, "number": slot.number, "size": f"{read:.2f} mm", "at": at}
        text += f"\n[[reading]]\n{tomli_w.dumps(reading)}"
    path = folder / "studies" / f"{study.id}.toml"
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
