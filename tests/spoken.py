"""What problems and errors say, for tests that hold their words."""

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from fieldlog.errors import FieldlogError, StoreError
from fieldlog.records.problems import Problem
from fieldlog.words.speak import error_text, problem_parts


def wrong(problem: Problem) -> str:
    """Return what is wrong."""
    return problem_parts(problem)[0]


def accepted(problem: Problem) -> str:
    """Return what would be accepted."""
    return problem_parts(problem)[1]


@contextmanager
def refused(words: str, kind: type[FieldlogError] = StoreError) -> Iterator[None]:
    """Expect an error, of the files unless told, that says something with these words in it."""
    with pytest.raises(kind) as caught:
        yield
    assert re.search(words, error_text(caught.value)), error_text(caught.value)
