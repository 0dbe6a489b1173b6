"""Edits from outside are seen, also those that a listing of the folder would not show."""

import os
import shutil
import time
from pathlib import Path

import pytest

from fieldlog.store.files import sample_folder
from fieldlog.store.watch import Look, logbook_stamp, look_again, look_at

MACHINE = "mini-digger"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the sample whose files were last touched an hour ago."""
    folder = tmp_path / "fleet"
    shutil.copytree(sample_folder(), folder)
    return folder


def settled(folder: Path) -> Look:
    """A look that trusts the listing, as one has some seconds after the last edit."""
    look = look_at(folder, MACHINE)
    return Look(look.stamp, look.contents, is_settled=True)


def a_round(folder: Path) -> Path:
    """One of the machine's round files."""
    return sorted((folder / MACHINE / "rounds").glob("*.toml"))[0]


def test_files_just_written_are_not_trusted_by_their_listing(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Within the tick of a coarse clock the bytes decide; later the listing does."""
    assert not look_at(folder, MACHINE).is_settled
    later_ns = time.time_ns() + 60 * 10**9
    monkeypatch.setattr(time, "time_ns", lambda: later_ns)
    assert look_at(folder, MACHINE).is_settled


def test_same_size_edit_within_one_tick_is_seen(folder: Path) -> None:
    """The listing looks the same, time and all; the bytes do not."""
    file = a_round(folder)
    first = look_at(folder, MACHINE)
    old, times = file.read_bytes(), file.stat()
    file.write_bytes(old.replace(b"9", b"8"))
    os.utime(file, ns=(times.st_atime_ns, times.st_mtime_ns))
    now = look_at(folder, MACHINE)
    pretended = Look(now.stamp, first.contents, is_settled=False)
    assert look_again(folder, MACHINE, pretended) is None


def test_same_size_edit_with_its_time_put_back_is_seen_once_settled(folder: Path) -> None:
    """Who sets the old time of a file again cannot set the time of its last change."""
    file = a_round(folder)
    before = settled(folder)
    old, times = file.read_bytes(), file.stat()
    time.sleep(0.02)  # a tick of the file system's clock
    file.write_bytes(old.replace(b"9", b"8"))
    os.utime(file, ns=(times.st_atime_ns, times.st_mtime_ns))
    assert file.stat().st_mtime_ns == times.st_mtime_ns
    assert look_again(folder, MACHINE, before) is None


@pytest.mark.parametrize("deed", ["edited", "added", "deleted", "renamed", "replaced", "machine.toml", "unreadable"])
def test_every_edit_is_seen(folder: Path, deed: str) -> None:
    """Whatever is done to a machine's files changes what they look like."""
    before, file = settled(folder), a_round(folder)
    match deed:
        case "edited":
            file.write_text(file.read_text() + "# a remark\n")
        case "added":
            file.with_name("2026-11-01-ada.toml").write_text("format = 1\n")
        case "deleted":
            file.unlink()
        case "renamed":
            file.rename(file.with_name("2020-01-01-ada.toml"))
        case "replaced":
            other = folder / "other"
            shutil.copytree(file.parent, other)
            (other / file.name).write_bytes(file.read_bytes().replace(b"9", b"8"))
            shutil.rmtree(file.parent)
            other.rename(file.parent)
        case "machine.toml":
            (folder / MACHINE / "machine.toml").write_text("format = 1\n")
        case "unreadable":
            file.unlink()
            file.mkdir(exist_ok=True)
    assert look_again(folder, MACHINE, before) is None


def test_an_edit_behind_a_link_is_seen(folder: Path) -> None:
    """A round may be a link to a file elsewhere, in whose folder nothing is looked at."""
    file, elsewhere = a_round(folder), folder.parent / "elsewhere.toml"
    file.rename(elsewhere)
    file.symlink_to(elsewhere)
    before = settled(folder)
    assert look_again(folder, MACHINE, before) is before
    time.sleep(0.02)  # a tick of the file system's clock
    elsewhere.write_bytes(elsewhere.read_bytes().replace(b"9", b"8"))
    assert look_again(folder, MACHINE, before) is None


def test_no_folders_own_time_is_trusted(folder: Path) -> None:
    """An edit in place changes the file and leaves its folder as it was."""
    file, before = a_round(folder), settled(folder)
    times = [path.stat().st_mtime_ns for path in (file.parent, file.parent.parent)]
    time.sleep(0.02)  # a tick of the file system's clock
    with file.open("r+b") as opened:
        opened.write(b"#")
    assert [path.stat().st_mtime_ns for path in (file.parent, file.parent.parent)] == times
    assert look_again(folder, MACHINE, before) is None


def test_rounds_that_are_no_folder_are_looked_at_too(folder: Path) -> None:
    """A file or a link to itself in the place of the rounds, or nothing at all, are not what was there before."""
    rounds, looks = folder / MACHINE / "rounds", [look_at(folder, MACHINE)]
    rounds.rename(folder / "kept")
    looks.append(look_at(folder, MACHINE))
    rounds.write_text("")
    looks.append(look_at(folder, MACHINE))
    rounds.unlink()
    rounds.symlink_to(rounds)
    looks.append(look_at(folder, MACHINE))
    rounds.unlink()
    (folder / "kept").rename(rounds)
    assert len({look.stamp for look in looks}) == 4
    assert len({look.contents for look in looks}) == 4
    assert look_again(folder, MACHINE, looks[0]) is not None


def test_touched_files_with_the_same_bytes_are_no_edit(folder: Path) -> None:
    """A copy, a checkout or a sync that changes only times and inodes makes nothing be worked out again."""
    before = settled(folder)
    copy = folder / "copy"
    shutil.copytree(folder / MACHINE, copy)
    shutil.rmtree(folder / MACHINE)
    copy.rename(folder / MACHINE)
    again = look_again(folder, MACHINE, before)
    assert again is not None
    assert again.stamp != before.stamp
    assert again.contents == before.contents


def test_contents_are_the_same_wherever_the_logbook_stands(folder: Path) -> None:
    """A copy elsewhere holds the same."""
    assert look_at(folder, MACHINE).contents == look_at(sample_folder(), MACHINE).contents


def test_names_that_lead_out_of_the_logbook_are_not_looked_at(folder: Path) -> None:
    """Nothing outside is opened."""
    assert look_at(folder, "../fleet/mini-digger") == look_at(folder, "..")


def test_edits_of_the_logbook_and_machines_that_come_or_go_are_seen(folder: Path) -> None:
    """Bytes of logbook.toml, a new folder, the first file in a folder that was empty, and a gauge study."""
    stamps = [logbook_stamp(folder)]
    head = folder / "logbook.toml"
    times = head.stat()
    head.write_bytes(head.read_bytes().replace(b"mm", b"in"))
    os.utime(head, ns=(times.st_atime_ns, times.st_mtime_ns))
    stamps.append(logbook_stamp(folder))
    (folder / "new").mkdir(exist_ok=True)
    stamps.append(logbook_stamp(folder))
    (folder / "new" / "machine.toml").write_text("format = 1\n")
    stamps.append(logbook_stamp(folder))
    (folder / "studies").mkdir(exist_ok=True)
    (folder / "studies" / "2026-11-01-blue.toml").write_text("format = 1\n")
    stamps.append(logbook_stamp(folder))
    head.unlink()
    stamps.append(logbook_stamp(folder))
    assert len(set(stamps)) == len(stamps)
