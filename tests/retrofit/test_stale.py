"""A kept recommendation is stale as soon as a reading, limit, offer or size under it changes, and says which."""

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from fieldlog.app.beside import kept_of_machine
from fieldlog.app.open_logbook import OpenLogbook
from fieldlog.app.retrofits import RetrofitWork
from fieldlog.records.offer import Basis, Recommendation
from fieldlog.retrofit.offers.kept import gone_entries, stale_reasons
from fieldlog.retrofit.offers.link_facts import RestsOn
from fieldlog.store.files import throwaway_copy
from fieldlog.words.speak import say

MACHINE = "hill-tractor"


@pytest.fixture
def kept(tmp_path: Path) -> Iterator[tuple[Path, str]]:
    """A copy of the sample with a recommendation kept for its top link just now."""
    with throwaway_copy() as folder:
        work = RetrofitWork(OpenLogbook(folder), MACHINE, "top-link")
        yield folder, work.keep("b-203-ball", "nell", "").id


def stale(folder: Path, kept_id: str) -> str:
    """Why it is stale, in one text."""
    found = {item.recommendation.id: item for item in kept_of_machine(OpenLogbook(folder), MACHINE)}
    return "; ".join(say(reason, "mm") for reason in found[kept_id].stale)


def in_file(name: str, old: str, new: str) -> Callable[[Path], None]:
    """A change of a file by hand."""

    def change(folder: Path) -> None:
        path = folder / name
        text = path.read_text(encoding="utf-8")
        changed = re.sub(old, new, text, count=1)
        assert changed != text
        path.write_text(changed, encoding="utf-8")

    return change


def added(name: str, text: str) -> Callable[[Path], None]:
    """Text added at the end of a file, or a new file."""

    def change(folder: Path) -> None:
        with (folder / name).open("a", encoding="utf-8") as file:
            file.write(text)

    return change


def closed_reading(folder: Path) -> str:
    """The name of one reading of the closed top link."""
    rests_on = kept_of_machine(OpenLogbook(folder), MACHINE)[-1].recommendation.basis
    return next(item for item in rests_on if item.what == "link closed").entries[0]


def strike(folder: Path) -> None:
    """Strike that reading out by hand."""
    text = f'format = 1\ndate = 2026-11-24\nwho = "tom"\n\n[[strike]]\nof = "{closed_reading(folder)}"\n'
    added(f"{MACHINE}/rounds/2026-11-24-tom.toml", text + 'why = "hook bent"\nat = "10:00:00"\n')(folder)


NEW_TAPING = """format = 1
date = 2026-11-24
who = "tom"

[[length]]
link = "top-link"
size = "565 mm"
way = "centres"
state = "closed"
at = "10:00:00"
"""
MANUAL = '\n[[limits]]\njoint = "top-rear"\nrenew = "1.2 mm"\norigin = "manual p. 7"\n'


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (
            in_file("offers/b-203-ball.toml", 'closed = "23 in"', 'closed = "588 mm"'),
            "offer, closed was 584.20 mm and is",
        ),
        (in_file("offers/b-203-ball.toml", 'check_valve = "double"', 'check_valve = "none"'), "offer, check valve was"),
        (in_file("offers/b-203-ball.toml", 'rod_end = "ball"\n', ""), "offer, kind of rod end, ball, is not known"),
        (added("offers/b-203-ball.toml", 'set_aside = "sold"\n'), "offer, set aside is known now and was not: sold"),
        (lambda folder: (folder / "offers" / "b-203-ball.toml").unlink(), "is not in the logbook any more"),
        (added(f"{MACHINE}/machine.toml", MANUAL), "limit, implement end was renew over"),
        (
            in_file(f"{MACHINE}/machine.toml", 'hitch_category = "1"', 'hitch_category = "2"'),
            "mast height was 460.00 mm",
        ),
        (
            in_file(f"{MACHINE}/machine.toml", 'open_stop = "groove"', 'near_gap = "46 mm"'),
            "gap, tractor end is known now",
        ),
        (in_file(f"{MACHINE}/machine.toml", 'pin = "3/4 in"', 'pin = "1 in"'), "pin, tractor end was 3/4 in and is"),
        (
            in_file(f"{MACHINE}/machine.toml", 'lower_link = "790 mm"', 'lower_link = "800 mm"'),
            "lower link, pivot to ball",
        ),
        (in_file("logbook.toml", 'nose_up = "8 deg"', 'nose_up = "9 deg"'), "nose up was 8 deg and is 9 deg now"),
        (added(f"{MACHINE}/rounds/2026-11-24-tom.toml", NEW_TAPING), "mm now, measured in 2026-11-24-tom"),
        (strike, "struck out since"),
    ],
)
def test_what_changes_under_it_makes_it_stale(
    kept: tuple[Path, str], change: Callable[[Path], object], words: str
) -> None:
    """The reason names what it was and what it is; the kept file itself is not touched."""
    folder, kept_id = kept
    file = folder / MACHINE / "retrofits" / f"{kept_id}.toml"
    before = file.read_bytes()
    assert stale(folder, kept_id) == ""
    change(folder)
    assert words in stale(folder, kept_id)
    assert file.read_bytes() == before


@pytest.mark.parametrize(
    "change",
    [
        in_file("offers/b-203-ball.toml", 'price = "215 crowns"', 'price = "190 crowns"'),
        in_file("offers/b-203-ball.toml", 'supplier = "the shop in town"', 'supplier = "same shop"'),
        added(f"{MACHINE}/machine.toml", "\n# seen by nell\n"),
        in_file("offers/d-203-long.toml", 'closed = "24 in"', 'closed = "600 mm"'),
    ],
)
def test_what_it_does_not_rest_on_leaves_it_standing(kept: tuple[Path, str], change: Callable[[Path], object]) -> None:
    """A price, a seller's name, a remark, another offer."""
    folder, kept_id = kept
    change(folder)
    assert stale(folder, kept_id) == ""


def without_ids(folder: Path) -> None:
    """The kept files as a program wrote them that gave no ids."""
    for path in (folder / MACHINE / "retrofits").glob("*.toml"):
        text = path.read_text(encoding="utf-8")
        plain = re.sub(r'^id = ".*"\n', "", text, flags=re.M)
        assert plain != text
        path.write_text(plain, encoding="utf-8")


def test_a_file_without_ids_is_read_and_held_against_today_by_its_names(kept: tuple[Path, str]) -> None:
    """It stands while nothing changes, and what changes is found."""
    folder, kept_id = kept
    without_ids(folder)
    assert stale(folder, kept_id) == ""
    in_file("offers/b-203-ball.toml", 'closed = "23 in"', 'closed = "588 mm"')(folder)
    in_file("logbook.toml", 'nose_up = "8 deg"', 'nose_up = "9 deg"')(folder)
    reasons = stale(folder, kept_id)
    assert "offer, closed was 584.20 mm and is 588.00 mm now" in reasons
    assert "nose up was 8 deg and is 9 deg now" in reasons
    assert "known now" not in reasons


def test_another_name_for_the_implement_leaves_it_standing(kept: tuple[Path, str]) -> None:
    """What it rests on is known by the implement's id; a file without ids knows the name alone."""
    folder, kept_id = kept
    in_file("logbook.toml", 'name = "Box blade"', 'name = "The old blade"')(folder)
    assert stale(folder, kept_id) == ""
    without_ids(folder)
    assert "Box blade, mast, 457.20 mm, is not known any more" in stale(folder, kept_id)


def test_a_reading_that_is_not_in_the_files_any_more_is_named() -> None:
    """By its own name, with how many more."""
    basis = Basis(what="link closed", value="560.00 mm", entries=("2026-11-20-ada 09:00:00", "2026-11-20-ada 09:00:09"))
    import datetime

    told = Recommendation(id="x", link="l", day=datetime.date(2026, 11, 20), offer="o", verdict="fits", basis=(basis,))
    now = RestsOn("link/closed", "link closed", "560.00 mm", entries=basis.entries)
    (reason,) = stale_reasons(told, (now,), gone_entries(told, frozenset(), frozenset()))
    assert say(reason, "mm") == (
        "link closed rests on 2026-11-20-ada 09:00:00 and 1 more, which is not in the files any more"
    )
