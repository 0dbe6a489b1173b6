"""What is kept for next time is believed only when it is whole, in place, and made here from this logbook."""

import errno
import json
import os
import pickle
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from fieldlog.store import cache as cache_module
from fieldlog.store.cache import Cache
from fieldlog.wear.summary import Named

RECORD = Named("grey", "Grey tractor")
LOGBOOK = "/home/ada/fieldlog"


def entries(folder: Path) -> list[Path]:
    """The files of the entries."""
    return sorted(folder.rglob("*.json"))


@pytest.fixture
def kept(tmp_path: Path) -> Cache:
    """A cache with one entry."""
    cache = Cache(tmp_path / "cache", LOGBOOK, "bytes of the logbook")
    cache.put("grey", RECORD)
    assert len(entries(tmp_path)) == 1
    return cache


def test_what_was_kept_is_found_again(kept: Cache, tmp_path: Path) -> None:
    """By this object and by the next program."""
    assert kept.take("grey", Named) == RECORD
    assert Cache(tmp_path / "cache", LOGBOOK, "bytes of the logbook").take("grey", Named) == RECORD
    assert kept.take("blue", Named) is None


def test_nothing_is_believed_of_another_program_logbook_or_name(
    kept: Cache, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Other bytes of logbook.toml, another folder, another machine's file, another version."""
    assert Cache(tmp_path / "cache", LOGBOOK, "other bytes").take("grey", Named) is None
    assert Cache(tmp_path / "cache", "/home/ada/other", "bytes of the logbook").take("grey", Named) is None
    file = entries(tmp_path)[0]
    kept.put("blue", Named("blue", "Blue tractor"))
    other = next(entry for entry in entries(tmp_path) if entry != file)
    other.write_bytes(file.read_bytes())
    assert kept.take("blue", Named) is None
    monkeypatch.setattr(cache_module, "program_stamp", lambda: "the next version")
    assert Cache(tmp_path / "cache", LOGBOOK, "bytes of the logbook").take("grey", Named) is None


def test_a_changed_source_file_is_another_program(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The stamp follows size and time of every source file of the package."""
    package = tmp_path / "package"
    (package / "store").mkdir(parents=True)
    (package / "wear.py").write_text("x = 1\n")
    monkeypatch.setattr(cache_module, "__file__", str(package / "store" / "cache.py"))
    stamps = [cache_module.program_stamp.__wrapped__()]
    (package / "wear.py").write_text("x = 12\n")
    stamps.append(cache_module.program_stamp.__wrapped__())
    (package / "store" / "new.py").write_text("")
    stamps.append(cache_module.program_stamp.__wrapped__())
    assert len(set(stamps)) == 3


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: b"",
        lambda data: data[:-1],
        lambda data: data[: len(data) // 2],
        lambda data: data + b" ",
        lambda data: data.replace(b"Grey", b"Blue"),
        lambda data: b"[" * 100_000,
        lambda data: b"\0" * len(data),
        lambda data: pickle.dumps(RECORD),
        lambda data: data.partition(b"\n")[2],
        lambda data: b"\n" + data.partition(b"\n")[2],
    ],
)
def test_a_spoiled_entry_counts_as_none_and_is_mended(
    kept: Cache, tmp_path: Path, spoil: Callable[[bytes], bytes]
) -> None:
    """Torn, empty, changed, of another kind: never an error, never a wrong record."""
    file = entries(tmp_path)[0]
    file.write_bytes(spoil(file.read_bytes()))
    assert kept.take("grey", Named) is None
    kept.put("grey", RECORD)
    assert kept.take("grey", Named) == RECORD


@pytest.mark.parametrize(
    "body", [b"[" * 50_000, b'["grey"]', b'["grey", 3]', b'{"id": "grey"}', b'["grey", "x"', b"\xff", b'["grey", NaN]']
)
def test_an_entry_with_a_digest_that_fits_is_still_checked(kept: Cache, tmp_path: Path, body: bytes) -> None:
    """Who can reckon the digest can still not make the program trip."""
    file = entries(tmp_path)[0]
    file.write_bytes(kept._digest("grey", body) + b"\n" + body)
    assert kept.take("grey", Named) is None


@pytest.mark.parametrize("thing", ["folder", "pipe", "link to itself"])
def test_what_is_no_file_is_not_opened(kept: Cache, tmp_path: Path, thing: str) -> None:
    """A pipe in the place of an entry would otherwise wait for ever."""
    file = entries(tmp_path)[0]
    file.unlink()
    match thing:
        case "folder":
            file.mkdir()
        case "pipe":
            os.mkfifo(file)
        case "link to itself":
            file.symlink_to(file)
    assert kept.take("grey", Named) is None


def test_where_nothing_can_be_written_nothing_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file where the folder should be, a folder that cannot be made, a disk that is full: no error, no entry."""
    (tmp_path / "taken").write_text("")
    for place in (tmp_path / "taken", Path("/proc/nowhere"), Path("/dev/null/cache")):
        cache = Cache(place, LOGBOOK, "")
        cache.put("grey", RECORD)
        assert cache.take("grey", Named) is None

    def full(path: Path, data: bytes) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(cache_module, "put_disposable", full)
    cache = Cache(tmp_path / "cache", LOGBOOK, "")
    cache.put("grey", RECORD)
    assert cache.take("grey", Named) is None
    assert entries(tmp_path) == []


def test_a_failed_write_leaves_the_old_entry_and_no_leftover(
    kept: Cache, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk that fills up in the middle of an entry."""

    def half(handle: int, data: bytes) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "write", half)
    kept.put("grey", Named("grey", "Another name"))
    monkeypatch.undo()
    assert kept.take("grey", Named) == RECORD
    assert [path.name for path in entries(tmp_path)[0].parent.iterdir()] == [entries(tmp_path)[0].name]


def test_two_programs_may_write_at_once(kept: Cache, tmp_path: Path) -> None:
    """A reader beside two writers always finds a whole entry of one of them."""
    others = [Cache(tmp_path / "cache", LOGBOOK, "bytes of the logbook") for _ in range(2)]
    names = ("One", "Other")

    def write(cache: Cache, name: str) -> None:
        for _ in range(150):
            cache.put("grey", Named("grey", name))

    writers = [threading.Thread(target=write, args=pair) for pair in zip(others, names, strict=True)]
    for writer in writers:
        writer.start()
    seen = set()
    while any(writer.is_alive() for writer in writers):
        found = kept.take("grey", Named)
        assert found is not None
        seen.add(found.name)
    assert seen <= {RECORD.name, *names}
    last = kept.take("grey", Named)
    assert last is not None
    assert last.name in names


def test_entries_of_what_is_gone_are_deleted(kept: Cache, tmp_path: Path) -> None:
    """And so is what an interrupted write left behind; the others stay."""
    kept.put("sold", Named("sold", "Sold tractor"))
    (entries(tmp_path)[0].parent / ".fieldlog-0123456789ab.part").write_text("half")
    kept.keep_only({"grey"})
    assert kept.take("sold", Named) is None
    assert kept.take("grey", Named) == RECORD
    assert len(list(entries(tmp_path)[0].parent.iterdir())) == 1


def test_the_folder_is_private_and_marked_for_backups(kept: Cache, tmp_path: Path) -> None:
    """Nobody else can put an entry there, and a backup may leave it out."""
    file = entries(tmp_path)[0]
    assert file.stat().st_mode & 0o077 == 0
    assert file.parent.stat().st_mode & 0o077 == 0
    assert (tmp_path / "cache" / "CACHEDIR.TAG").read_bytes().startswith(b"Signature: ")
    assert json.loads(file.read_bytes().partition(b"\n")[2]) == ["grey", "Grey tractor"]
