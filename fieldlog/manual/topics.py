"""The topics of the manual: which there are, how one is found, and its text in lines of a given width.

A topic is a file `<name>.md` beside this module: a title behind `# `, then paragraphs, lists with `- `, headings with
`## ` and, between fences of three backquotes, lines that stand as they are where there is room. Comments in angle
brackets are for the tests, which hold the manual against the program; they are never shown.
"""

import re
import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from fieldlog.errors import FieldlogError

WIDTH = 78
NAMES = (
    "start",
    "measure",
    "pins",
    "links",
    "threads",
    "verdicts",
    "limits",
    "wear",
    "season",
    "repair",
    "doubt",
    "instruments",
    "study",
    "hitch",
    "offers",
    "force",
    "cautions",
    "reports",
    "data",
    "files",
    "copies",
    "terminal",
    "keys",
    "words",
)

_FENCE = "```"
_COMMENT = re.compile(r"<!--.*?-->\n*", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a topic as shown."""

    text: str
    is_heading: bool = False


def source(name: str) -> str:
    """Return a topic's text as it stands in its file.

    Raises:
        FieldlogError: there is no such topic; the message says which there are.
    """
    if name not in NAMES:
        raise FieldlogError(_unknown(name))
    return _read(name)


def title(name: str) -> str:
    """Return what a topic is called."""
    return source(name).partition("\n")[0].removeprefix("# ")


def found(word: str) -> str:
    """Return the name of the topic that is meant: its name, or the beginning of only one of them.

    Raises:
        FieldlogError: none or several may be meant; the message says which there are and which speak of it.
    """
    wanted = word.strip().lower()
    begins = [name for name in NAMES if wanted and name.startswith(wanted)]
    if wanted in NAMES:
        return wanted
    if len(begins) == 1:
        return begins[0]
    raise FieldlogError(_unknown(word))


def speaking_of(word: str) -> tuple[str, ...]:
    """Return the topics in which a word or words stand, line breaks or not."""
    wanted = " ".join(word.lower().split())
    return tuple(name for name in NAMES if wanted and wanted in " ".join(_shown_text(name).lower().split()))


def rows(name: str, width: int = WIDTH) -> tuple[Row, ...]:
    """Return a topic in lines no wider than `width`; those between fences are broken only where they do not fit."""
    text = _COMMENT.sub("", source(name))
    made: list[Row] = []
    for number, part in enumerate(re.split(rf"^{_FENCE}\n", text, flags=re.MULTILINE)):
        if number % 2:
            made += [row for line in part.splitlines() for row in _as_it_stands(f"  {line}".rstrip(), width)]
        else:
            made += [row for block in re.split(r"\n{2,}", part.strip("\n")) for row in _block(block, width)]
        made.append(Row(""))
    return tuple(_without_double_gaps(made))


def page(name: str, width: int = WIDTH) -> str:
    """Return a topic as plain text."""
    return "\n".join(row.text for row in rows(name, width)).rstrip()


def contents() -> str:
    """Return the list of all topics as plain text."""
    listed = "\n".join(f"  {name:<12} {title(name)}" for name in NAMES)
    return (
        f"The manual of fieldlog, by topics:\n\n{listed}\n\nfieldlog manual TOPIC shows one; ? on a page shows its own."
    )


def _read(name: str) -> str:
    return Path(__file__).with_name(f"{name}.md").read_text(encoding="utf-8")


def _shown_text(name: str) -> str:
    return _COMMENT.sub("", _read(name))


def _unknown(word: str) -> str:
    speaking = speaking_of(word)
    spoken = f" It is spoken of in: {', '.join(speaking)}." if speaking else ""
    return f'There is no topic "{word}".{spoken} The topics are: {", ".join(NAMES)}.'


def _block(block: str, width: int) -> Iterator[Row]:
    """Break one paragraph, heading or list into lines."""
    if not block:
        return
    if block.startswith("#"):
        yield from (Row(line, is_heading=True) for line in textwrap.wrap(block.lstrip("# "), width))
    elif block.startswith("- "):
        for item in re.split(r"^- ", block, flags=re.MULTILINE)[1:]:
            yield from (Row(line) for line in _wrapped(item, width, "- ", "  "))
    else:
        yield from (Row(line) for line in _wrapped(block, width, "", ""))
    yield Row("")


def _as_it_stands(line: str, width: int) -> Iterator[Row]:
    """Leave a line alone where it fits, else go on under its second column."""
    column = re.match(r" *\S+(?: \S+)*  +|  +", line)
    under = " " * min(column.end() if column else 4, width // 2)
    yield from (Row(part) for part in (textwrap.wrap(line, width, subsequent_indent=under) or [""]))


def _wrapped(text: str, width: int, first: str, later: str) -> list[str]:
    """Break a text between words; what stands between backquotes is not torn apart."""
    whole = re.sub(r"`[^`]+`", lambda match: match[0].replace(" ", "\0"), " ".join(text.split()))
    lines = textwrap.wrap(
        whole, width, initial_indent=first, subsequent_indent=later, break_long_words=False, break_on_hyphens=False
    )
    return [line.replace("\0", " ") for line in lines]


def _without_double_gaps(made: list[Row]) -> Iterator[Row]:
    before = Row("")
    for row in (*made, Row("")):
        if row.text or before.text:
            before = row
            yield row
