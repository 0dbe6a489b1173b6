"""Kept recommendations: a line each, and one on a page with its reasons, what it rests on and its cautions."""

from collections.abc import Sequence
from typing import NamedTuple

from fieldlog.records.days import day_text
from fieldlog.records.machine import Machine, part_name
from fieldlog.records.recommendation import Basis
from fieldlog.report.lines import BLANK, Line, Span, heading, line, short, wrapped
from fieldlog.report.words import VERDICT_WIDTH
from fieldlog.retrofit.kept import Kept


class KeptRow(NamedTuple):
    """A kept recommendation in a list."""

    kept: str


def kept_lines(kept: Sequence[Kept], machine: Machine, width: int, link: str = "") -> tuple[Line, ...]:
    """Return a heading and a line for each recommendation, newest first; of one link only when it is given."""
    wanted = [item for item in kept if link in {"", item.recommendation.link}]
    if not wanted:
        return ()
    lines = [BLANK, heading("Kept recommendations")]
    return (*lines, *(_line(item, machine, width) for item in reversed(wanted)))


def _line(item: Kept, machine: Machine, width: int) -> Line:
    told = item.recommendation
    sign = (
        Span("?? stale".ljust(VERDICT_WIDTH), "re-measure")
        if item.stale
        else Span("ok kept".ljust(VERDICT_WIDTH), "sound")
    )
    link = part_name(machine, "link", told.link)
    text = f"{told.offer_name or told.offer} for {link}, {day_text(told.day)}"
    return line(sign, short(text, width - VERDICT_WIDTH), target=KeptRow(told.id))


def kept_detail(item: Kept, width: int) -> tuple[Line, ...]:
    """Return why it is stale, or its first reason."""
    told = item.recommendation
    if item.stale:
        return wrapped(f"Stale: {item.stale[0]}.{_more(len(item.stale) - 1)}", width, "", "warn")
    return wrapped(f"{told.verdict}. {told.reasons[0] if told.reasons else ''}", width)


def _more(count: int) -> str:
    return f" And {count} more." if count > 0 else ""


def kept_page(item: Kept, machine: Machine, width: int) -> tuple[Line, ...]:
    """Return one recommendation in full; what made it stale stands first."""
    told = item.recommendation
    who = f", kept by {told.who}" if told.who else ""
    lines = [
        *wrapped(f"{told.offer_name or told.offer} for {part_name(machine, 'link', told.link)}", width, "", "head")
    ]
    lines += wrapped(f"{told.verdict}, {day_text(told.day)}{who}", width, "", "dim")
    lines += wrapped(told.words, width) if told.words else ()
    if item.stale:
        lines += [BLANK, heading("Stale: compare again before you buy")]
        lines += _bulleted([f"{reason}." for reason in item.stale], width, "warn")
    lines += _section("Why", [*((f"way round: {told.way_round}",) if told.way_round else ()), *told.reasons], width)
    lines += _section("To order with it", told.parts, width)
    lines += _section("The other offers then", told.others, width)
    lines += _section("What it rests on", [_basis_text(basis) for basis in told.basis], width, "dim")
    lines += _section("Take care", told.cautions, width, "warn")
    return tuple(lines)


def _section(title: str, texts: Sequence[str], width: int, mark: str = "") -> list[Line]:
    return [BLANK, heading(title), *_bulleted(texts, width, mark)] if texts else []


def _bulleted(texts: Sequence[str], width: int, mark: str = "") -> list[Line]:
    lines: list[Line] = []
    for text in texts:
        rows = wrapped(text, width - 2)
        lines += [line(Span(f"{'- ' if number == 0 else '  '}{row.text}", mark)) for number, row in enumerate(rows)]
    return lines


def _basis_text(basis: Basis) -> str:
    doubt = f" ± {basis.plus_minus}" if basis.plus_minus else ""
    origin = f", {basis.origin}" if basis.origin else ""
    count = f" ({len(basis.entries)} readings, {basis.entries[0]} ...)" if basis.entries else ""
    return f"{basis.what}: {basis.value}{doubt}{origin}{count}"
