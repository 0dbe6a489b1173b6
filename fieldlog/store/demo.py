"""The sample fleet, and a throwaway copy of it."""

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from fieldlog.errors import StoreError
from fieldlog.quantity.said import said
from fieldlog.store.files import LOGBOOK_FILE, os_reason

_NAME = "sample_machines"


def sample_folder() -> Path:
    """Return where the sample fleet is: inside the installed package, or beside it in a checkout."""
    package = Path(__file__).resolve().parent.parent
    for folder in (package / _NAME, package.parent / _NAME):
        if (folder / LOGBOOK_FILE).is_file():
            return folder
    raise StoreError(said("refusal.no_sample"))


@contextmanager
def throwaway_copy() -> Iterator[Path]:
    """Copy the sample fleet into a temporary folder that is gone afterwards."""
    try:
        parent = Path(tempfile.mkdtemp(prefix="fieldlog-demo-"))
    except OSError as error:
        raise StoreError(said("refusal.no_room_for_sample", why=os_reason(error))) from error
    try:
        folder = parent / "fleet"
        try:
            _copy(sample_folder(), folder)
        except OSError as error:
            raise StoreError(said("refusal.sample_not_copied", why=os_reason(error))) from error
        yield folder
    finally:
        shutil.rmtree(parent, ignore_errors=True)


def _copy(source: Path, target: Path) -> None:
    """Copy names and bytes only: what is read-only where it is installed must be writable in the copy."""
    target.mkdir()
    for item in source.iterdir():
        if item.is_dir():
            _copy(item, target / item.name)
        else:
            shutil.copyfile(item, target / item.name)
