"""The command line. Only what a command needs is imported, and the full screen only when it is shown."""

import argparse
import gc
import io
import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from fieldlog import __version__
from fieldlog.errors import FieldlogError
from fieldlog.quantity.text import harmless

_NO_TERMINAL = (
    "The logbook's screens need a terminal that they can draw on (over SSH: ssh -t). Without one these work: "
    "fieldlog report [FOLDER], fieldlog report --json, fieldlog check FOLDER."
)
_FAILED = 2
_DUMB_TERMINALS = frozenset({"", "dumb", "unknown"})
_OBJECTS_A_SWEEP = 20_000
_ASCII_TERMINALS = frozenset({"linux", "vt100", "vt220"})


def main(arguments: Sequence[str] | None = None) -> None:
    """Run a command and leave with its exit status; what the terminal's letters have no sign for becomes `?`."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        status = _status(arguments)
        if sys.stdout is not None:
            sys.stdout.flush()
    except BrokenPipeError:
        _let_go_of_output()
        status = 141
    except OSError as error:
        if error.filename is not None:  # a file that nobody took care of: a mistake of the program
            raise
        from fieldlog.store.files import os_reason
        from fieldlog.words.speak import say

        _let_go_of_output()
        _complain(f"what was to be printed could not be written: {say(os_reason(error), 'mm')}.")
        status = _FAILED
    sys.exit(status)


def _status(arguments: Sequence[str] | None) -> int:
    try:
        given = _parser().parse_args(arguments)
        if given.prints and sys.stdout is None:
            raise FieldlogError("there is nowhere to print to: the standard output is closed.")
        return int(given.run(given))
    except SystemExit as leaving:  # the parser's, after --help or a word it does not know
        return leaving.code if isinstance(leaving.code, int) else 0
    except FieldlogError as error:
        from fieldlog.words.speak import error_text

        _complain(error_text(error))
        return _FAILED
    except KeyboardInterrupt:
        return 130


def _complain(sentence: str) -> None:
    if sys.stderr is not None:  # print would take the standard output instead
        with suppress(OSError):
            print(f"fieldlog: {harmless(sentence)}", file=sys.stderr)


def _tell(sentence: str) -> None:
    """Print a line that may quote what stands in a file."""
    print(harmless(sentence))


def _let_go_of_output() -> None:
    """Send what is left to be printed nowhere, so that leaving does not try it again."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="fieldlog",
        description="A field logbook for pin joints and hitch links. Without a command it opens the logbook on the "
        "screen: the one in this folder, else the one used last, else ~/fieldlog.",
    )
    parser.add_argument("--version", action="version", version=f"fieldlog {__version__}")
    _screen_options(parser)
    parser.set_defaults(run=_open_screens, prints=False, folder=None, mouse=False, ascii=False)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    _screen_command(commands.add_parser("open", help="open a logbook on the screen"), _open_screens, folder=True)
    _screen_command(commands.add_parser("demo", help="open a throwaway copy of the sample fleet"), _demo, folder=False)
    check = commands.add_parser(
        "check", help="list everything wrong in a logbook's files; exit status 1 if anything is"
    )
    check.add_argument("folder", metavar="FOLDER", type=Path)
    check.set_defaults(run=_check, prints=True)
    report = commands.add_parser("report", help="print the findings; plain when piped")
    report.add_argument("folder", metavar="FOLDER", type=Path, nargs="?")
    report.add_argument("--machine", metavar="NAME", help="one machine only, by its name or folder")
    report.add_argument("--joint", metavar="NAME", help="one joint only, with its pictures, by its name or id")
    report.add_argument("--ascii", action="store_true", help="draw with plain ASCII only")
    report.add_argument("--budget", action="store_true", help="open every number to its doubt and its readings")
    report.add_argument("--json", action="store_true", help="as data; how each number follows with --budget")
    report.set_defaults(run=_report, prints=True)
    offers = commands.add_parser("offers", help="take cylinders on offer from a CSV file into a logbook")
    offers.add_argument("file", metavar="FILE.csv", type=Path)
    offers.add_argument("folder", metavar="FOLDER", type=Path, nargs="?")
    offers.add_argument("--update", action="store_true", help="change the figures of offers that are there already")
    offers.set_defaults(run=_offers, prints=True)
    manual = commands.add_parser("manual", help="how to do each part of the job, topic by topic")
    manual.add_argument("topic", metavar="TOPIC", nargs="?", help="one topic; without it, which there are")
    manual.set_defaults(run=_manual, prints=True)
    return parser


def _screen_command(parser: argparse.ArgumentParser, run: object, *, folder: bool) -> None:
    if folder:
        parser.add_argument("folder", metavar="FOLDER", type=Path, nargs="?")
    _screen_options(parser)
    parser.set_defaults(run=run)


def _screen_options(parser: argparse.ArgumentParser) -> None:
    """Take the options of the screens, before a command as well as behind it."""
    left_alone = argparse.SUPPRESS  # a command's default would undo what stood before the command
    mouse = "take the mouse too (every movement costs bytes)"
    parser.add_argument("--mouse", action="store_true", default=left_alone, help=mouse)
    parser.add_argument("--ascii", action="store_true", default=left_alone, help="draw with plain ASCII only")


def _needs_terminal() -> bool:
    """Say what is missing where the full screen cannot be shown."""
    usable = sys.stdin.isatty() and sys.stderr.isatty() and os.environ.get("TERM", "") not in _DUMB_TERMINALS
    if not usable:
        _complain(_NO_TERMINAL)
    return not usable


def _open_screens(given: argparse.Namespace) -> int:
    if _needs_terminal():
        return 2
    from fieldlog.app.places import find_logbook

    folder = given.folder or find_logbook()
    if folder is not None and not (folder / "logbook.toml").is_file():
        raise FieldlogError(f"{folder} holds no logbook.toml; give the folder of a logbook, or none to start one.")
    return _run(folder.absolute() if folder is not None else None, given, is_demo=False)


def _demo(given: argparse.Namespace) -> int:
    if _needs_terminal():
        return 2
    from fieldlog.store.files import throwaway_copy

    with throwaway_copy() as folder:
        return _run(folder, given, is_demo=True)


def _run(folder: Path | None, given: argparse.Namespace, *, is_demo: bool) -> int:
    from fieldlog.app.reading import read_ahead
    from fieldlog.tui import quiet

    gc.disable()  # nothing made while starting is thrown away; the app switches it on once it has drawn
    ahead = read_ahead(folder, is_demo=is_demo) if folder is not None else None
    quiet.prepare()
    from fieldlog.app.places import remember, usual_place
    from fieldlog.tui.app import LogbookApp, remember_terminal, take_alt_apart

    take_alt_apart()
    remember_terminal()
    if folder is not None and not is_demo:
        remember(folder)
    ascii_only = _draws_ascii(given, sys.stderr.encoding) or os.environ.get("TERM", "") in _ASCII_TERMINALS
    app = LogbookApp(folder, new_folder=usual_place(), is_demo=is_demo, ascii_only=ascii_only, ahead=ahead)
    app.run(mouse=given.mouse)
    status = app.return_code or 0
    if status == 1:
        where = f" in {folder}" if folder is not None else ""
        _complain(f"the program failed; every reading that was accepted is on disk{where}.")
    return status


def _draws_ascii(given: argparse.Namespace, encoding: str | None) -> bool:
    return bool(given.ascii) or (encoding or "").lower().replace("-", "") != "utf8"


def _logbook_folder(given: argparse.Namespace) -> Path:
    from fieldlog.app.places import find_logbook

    folder: Path | None = given.folder or find_logbook()
    if folder is None:
        raise FieldlogError("There is no logbook here or in ~/fieldlog; give its folder as the last word.")
    return folder


def _check(given: argparse.Namespace) -> int:
    import datetime

    from fieldlog.store.reader import check_logbook
    from fieldlog.words.speak import problem_text

    problems = check_logbook(given.folder, datetime.datetime.now().astimezone().date())
    for problem in problems:
        _tell(problem_text(problem))
    return 1 if problems else 0


def _offers(given: argparse.Namespace) -> int:
    from fieldlog.store.offer_import import import_offers
    from fieldlog.words.speak import problem_text

    done = import_offers(_logbook_folder(given), given.file, is_update=given.update)
    for heading in done.unused:
        _tell(f'The column "{heading}" is not used.')
    if done.problems:
        for problem in done.problems:
            _tell(problem_text(problem))
        print("Nothing was written.")
        return 1
    for word, names in (("Added", done.added), ("Changed", done.changed), ("There already, the same", done.same)):
        if names:
            _tell(f"{word}: {', '.join(names)}.")
    return 0


def _report(given: argparse.Namespace) -> int:
    gc.set_threshold(_OBJECTS_A_SWEEP)  # what is worked out is kept until it is printed: there is little to sweep
    from fieldlog.sheets.report import report

    return report(given, _logbook_folder(given), ascii_only=_draws_ascii(given, sys.stdout.encoding))


def _manual(given: argparse.Namespace) -> int:
    from fieldlog.manual.topics import contents, found, page

    print(page(found(given.topic)) if given.topic is not None else contents())
    return 0
