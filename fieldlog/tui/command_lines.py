"""The keys of a screen in lines: its footer, and its help page."""

from fieldlog.report.lines import Line, Span, line
from fieldlog.tui.command import Command


def footer_lines(commands: tuple[Command, ...], width: int) -> tuple[Line, ...]:
    """Return the footer: key and word, broken into as many lines as the width needs."""
    rows: list[list[str | Span]] = [[" "]]
    used = 1
    for command in commands:
        if not command.in_footer:
            continue
        size = len(command.shown) + 1 + len(command.word)
        if used > 1 and used + 2 + size > width:
            rows.append([" "])
            used = 1
        if used > 1:
            rows[-1].append("  ")
            used += 2
        rows[-1] += [Span(command.shown, "key"), Span(f" {command.word}", "dim")]
        used += size
    return tuple(line(*row) for row in rows)


def help_lines(commands: tuple[Command, ...], width: int) -> tuple[Line, ...]:
    """Return one paragraph a key for the help page."""
    from fieldlog.report.lines import wrapped

    lines: list[Line] = []
    for command in commands:
        rows = wrapped(command.help, width - 13)
        lines += [
            line(Span(f"  {command.shown if number == 0 else '':<11}", "key"), *row.spans)
            for number, row in enumerate(rows)
        ]
    return tuple(lines)
