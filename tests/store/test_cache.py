"""What is kept for next time is believed only when it is whole, in place, and made here from this logbook."""

import errno
import os
import pickle
import threading
from collections.abc import Callable
from pathlib import Path

import pytest

from fieldlog.store import cache as cache_module
from fieldlog.store.cache import Cache

TEXT = b'["grey","Grey tractor"]'
LOGBOOK = "/home/ada/fieldlog"


def the_file(folder: Path) -> Path:
    """The file of the entries."""
    return next(folder.rglob("entries"))


def opened(folder: Path) -> Cache:
    """The cache as the next program opens it."""
    return Cache(folder / "cache", LOGBOOK, "bytes of the logbook")


@pytest.fixture
def kept(tmp_path: Path) -> Cache:
    """A cache with one entry."""
    cache = opened(tmp_path)
    cache.put("grey", TEXT)
    return cache


def test_what_was_kept_is_found_again(kept: Cache, tmp_path: Path) -> None:
    """By this object and by the next program; of several the last."""
    assert kept.take("grey") == TEXT
    assert opened(tmp_path).take("grey") == TEXT
    assert opened(tmp_path).take_all() == {"grey": TEXT}
    assert kept.take("blue") is None
    opened(tmp_path).put("grey", b"newer")
    opened(tmp_path).put("", b"of the logbook")
    assert kept.take("grey") == b"newer"
    assert kept.take_all() == {"grey": b"newer", "": b"of the logbook"}


@pytest.mark.parametrize("name", ["a b", "a\tb", "a\nb", 'a"b', "\udcff", "ä"])
def test_any_name_keeps_its_own_entry(kept: Cache, name: str) -> None:
    """Folders may be called anything."""
    kept.put(name, b"its own")
    assert kept.take_all() == {"grey": TEXT, name: b"its own"}
    assert kept.take(name) == b"its own"


def test_nothing_is_believed_of_another_program_logbook_or_name(
    kept: Cache, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Other bytes of logbook.toml, another folder, another machine's line, another version."""
    assert Cache(tmp_path / "cache", LOGBOOK, "other bytes").take("grey") is None
    assert Cache(tmp_path / "cache", "/home/ada/other", "bytes of the logbook").take("grey") is None
    file = the_file(tmp_path)
    file.write_bytes(file.read_bytes().replace(b'\t"grey"\t', b'\t"blue"\t'))
    assert kept.take_all() == {}
    kept.put("grey", TEXT)
    monkeypatch.setattr(cache_module, "program_stamp", lambda: "the next version")
    assert opened(tmp_path).take("grey") is None


def test_entries_of_another_state_of_the_logbook_stay(kept: Cache, tmp_path: Path) -> None:
    """Who puts logbook.toml back finds them again."""
    other = Cache(tmp_path / "cache", LOGBOOK, "other bytes")
    other.put("blue", b"other")
    assert other.take_all() == {"blue": b"other"}
    assert kept.take_all() == {"grey": TEXT}


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
        lambda data: data[:-2],
        lambda data: data[: len(data) // 2],
        lambda data: data.replace(b"Grey", b"Blue"),
        lambda data: b"[" * 100_000,
        lambda data: b"\0" * len(data),
        lambda data: b"\t\t" * len(data),
        lambda data: pickle.dumps(TEXT),
        lambda data: data.partition(b"\t")[2],
        lambda data: data.replace(b"\t", b" "),
    ],
)
def test_a_spoiled_entry_counts_as_none_and_is_mended(
    kept: Cache, tmp_path: Path, spoil: Callable[[bytes], bytes]
) -> None:
    """Torn, empty, changed, of another kind: never an error, never a wrong text; what is added after it counts."""
    file = the_file(tmp_path)
    file.write_bytes(spoil(file.read_bytes()))
    assert kept.take("grey") is None
    assert kept.take_all() == {}
    kept.put("grey", TEXT)
    assert kept.take("grey") == TEXT
    kept.keep_only({"grey"})
    assert opened(tmp_path).take_all() == {"grey": TEXT}


def test_rubbish_is_thrown_out(kept: Cache, tmp_path: Path) -> None:
    """However much of it there is, the file is small again after the next start."""
    file = the_file(tmp_path)
    whole = file.read_bytes()
    file.write_bytes(b"rubbish\n" * 100_000 + whole + b"\xff" * 300_000)
    kept.keep_only({"grey"})
    assert kept.take_all() == {"grey": TEXT}
    assert len(file.read_bytes()) < len(whole) + 10


def test_superseded_entries_are_thrown_out_once_they_are_much(kept: Cache, tmp_path: Path) -> None:
    """At the next start, and within a sitting that writes very much."""
    file, large = the_file(tmp_path), b"x" * 1_000_000
    for _ in range(3):
        kept.put("blue", large)
    assert len(file.read_bytes()) > 3_000_000
    opened(tmp_path).keep_only({"grey", "blue"})
    assert len(file.read_bytes()) < 1_100_000
    for _ in range(10):
        kept.put("blue", large)
    assert len(file.read_bytes()) < 6_100_000
    assert kept.take_all() == {"grey": TEXT, "blue": large}


@pytest.mark.parametrize("name", [b"[" * 50_000, b'"x', b"\xff"])
def test_a_line_with_a_digest_that_fits_is_still_checked(kept: Cache, tmp_path: Path, name: bytes) -> None:
    """Who can reckon the digest can still not make the program trip."""
    file = the_file(tmp_path)
    file.write_bytes(b"\t".join((kept._digest(name, TEXT), name, TEXT)))
    assert kept.take("grey") is None
    assert kept.take_all() == {}


@pytest.mark.parametrize("thing", ["folder", "pipe", "link to itself"])
def test_what_is_no_file_is_not_opened(kept: Cache, tmp_path: Path, thing: str) -> None:
    """A pipe in the place of the entries would otherwise wait for ever."""
    file = the_file(tmp_path)
    file.unlink()
    match thing:
        case "folder":
            file.mkdir()
        case "pipe":
            os.mkfifo(file)
        case "link to itself":
            file.symlink_to(file)
    assert kept.take("grey") is None
    kept.put("grey", TEXT)
    assert kept.take_all() == {}


def test_where_nothing_can_be_written_nothing_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file where the folder should be, a folder that cannot be made, a disk that is full: no error, no entry."""
    (tmp_path / "taken").write_text("")
    for place in (tmp_path / "taken", Path("/proc/nowhere"), Path("/dev/null/cache")):
        cache = Cache(place, LOGBOOK, "")
        cache.put("grey", TEXT)
        cache.keep_only(())
        assert cache.take("grey") is None

    def full(path: Path, data: bytes) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(cache_module, "add_disposable", full)
    cache = opened(tmp_path)
    cache.put("grey", TEXT)
    assert cache.take("grey") is None


def test_a_failed_write_leaves_the_old_entry_and_no_leftover(
    kept: Cache, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk that fills up in the middle of an entry, or while the file is written anew."""
    write = os.write

    def half(handle: int, data: bytes) -> int:
        if len(data) < 20:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        return write(handle, data[: len(data) // 2])

    kept.put("sold", b"Sold tractor")
    monkeypatch.setattr(os, "write", half)
    opened(tmp_path).put("grey", b"another")
    kept.keep_only({"grey"})
    monkeypatch.undo()
    assert kept.take("grey") == TEXT
    assert [path.name for path in the_file(tmp_path).parent.iterdir()] == ["entries"]
    opened(tmp_path).put("grey", b"another")
    assert kept.take("grey") == b"another"


def test_two_programs_may_write_at_once(kept: Cache, tmp_path: Path) -> None:
    """A reader beside two writers and a third that writes the file anew always finds a whole text of one of them."""
    texts = (b"One" * 3000, b"Other" * 3000)

    def write(text: bytes) -> None:
        cache = opened(tmp_path)
        for _ in range(150):
            cache.put("grey", text)

    writers = [threading.Thread(target=write, args=(text,)) for text in texts]
    for writer in writers:
        writer.start()
    seen, other = set(), opened(tmp_path)
    while any(writer.is_alive() for writer in writers):
        seen.add(kept.take("grey"))
        other.keep_only({"grey"})
    assert seen <= {TEXT, *texts}
    assert kept.take("grey") in texts


def test_entries_of_what_is_gone_are_dropped(kept: Cache, tmp_path: Path) -> None:
    """And so is what an interrupted write left behind; the others stay."""
    kept.put("sold", b"Sold tractor")
    (the_file(tmp_path).parent / ".fieldlog-0123456789ab.part").write_text("half")
    kept.keep_only({"grey"})
    assert kept.take_all() == {"grey": TEXT}
    assert b"Sold" not in the_file(tmp_path).read_bytes()
    assert len(list(the_file(tmp_path).parent.iterdir())) == 1


def test_the_folder_is_private_and_marked_for_backups(kept: Cache, tmp_path: Path) -> None:
    """Nobody else can put an entry there, and a backup may leave it out."""
    file = the_file(tmp_path)
    for _ in range(2):
        assert file.stat().st_mode & 0o077 == 0
        assert file.parent.stat().st_mode & 0o077 == 0
        kept.keep_only(())
    assert (tmp_path / "cache" / "CACHEDIR.TAG").read_bytes().startswith(b"Signature: ")
