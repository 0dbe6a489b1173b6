"""The sample fleet, and a throwaway copy of it."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


def sample_folder() -> Path:
    """Return where the sample fleet is: inside the installed package, or beside it in a checkout."""
    raise NotImplementedError


@contextmanager
def throwaway_copy() -> Iterator[Path]:
    """Copy the sample fleet into a temporary folder that is gone afterwards."""
    raise NotImplementedError
