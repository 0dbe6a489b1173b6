"""Values for tests, put together from labelled parts; each is a source of its own unless it is given an id."""

import itertools
import math
from collections.abc import Iterable
from dataclasses import replace

from fieldlog.quantity.source import Kind, Source, Term
from fieldlog.quantity.value import Value

_NUMBERS = itertools.count()


def part(
    label: str, u: float, dof: float = math.inf, why: str = "", *, source_id: str = "", kind: Kind = "stated"
) -> Term:
    """Return a standard uncertainty as a term."""
    return Term(Source(source_id or f"part {next(_NUMBERS)}", kind, label=label, why=why, dof=dof), u)


def limit_of(label: str, half_width: float, why: str = "", *, source_id: str = "") -> Term:
    """Return a limit of error as a rectangle."""
    term = part(label, half_width / math.sqrt(3), why=why, source_id=source_id, kind="limit")
    return term._replace(source=replace(term.source, is_limit=True))


def shared(source_id: str, u: float) -> Term:
    """Return what several days share."""
    return part(source_id, u, source_id=source_id, kind="limit")


def sized(value: float, terms: Iterable[Term] = (), unit: str = "mm") -> Value:
    """Return a value with these terms."""
    return Value(value, unit, tuple(terms))
