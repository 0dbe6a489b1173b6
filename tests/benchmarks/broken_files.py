"""Break one file of the sample fleet at random, again and again; nothing may end in a traceback.

Run by hand:

    python -m tests.benchmarks.broken_files 2000          # check and every record
    python -m tests.benchmarks.broken_files 200 report    # the report, its budgets and data as well

Prints how many files were broken and what ended in a traceback, with the seed that breaks it again.
"""

import argparse
import contextlib
import datetime
import io
import random
import shutil
import sys
import tempfile
import traceback
from pathlib import Path

from fieldlog.sheets.report import report
from fieldlog.store.files import sample_folder
from fieldlog.store.reader import check_logbook
from tests.store.test_broken_files import broken, files_of, in_sight


def main() -> None:
    """Break as many files as are asked for and print the counts."""
    times, is_whole = int(sys.argv[1]), "report" in sys.argv[2:]
    first = int(sys.argv[3]) if len(sys.argv) > 3 else 0
    folder = Path(tempfile.mkdtemp()) / "fleet"
    others = shutil.ignore_patterns("mini-digger", "small-loader", "yard-tractor")
    shutil.copytree(sample_folder(), folder, copy_function=shutil.copyfile, ignore=others)
    failed = sum(_ends_badly(folder, seed, is_whole=is_whole) for seed in range(first, first + times))
    print(f"{times} files broken, {failed} ended in a traceback")


def _ends_badly(folder: Path, seed: int, *, is_whole: bool) -> bool:
    chance = random.Random(seed)
    path = folder / chance.choice(files_of(folder))
    whole = path.read_bytes()
    path.write_bytes(broken(whole, chance))
    try:
        check_logbook(folder, datetime.date(2026, 11, 28))
        in_sight(folder)
        for is_json in (False, True) if is_whole else ():
            given = argparse.Namespace(machine=None, joint=None, json=is_json, budget=True)
            with contextlib.redirect_stdout(io.StringIO()):
                report(given, folder, ascii_only=False)
    except Exception:
        print(f"seed {seed}, {path.relative_to(folder)}:")
        traceback.print_exc(limit=-4, file=sys.stdout)
        return True
    finally:
        path.write_bytes(whole)
    return False


if __name__ == "__main__":
    main()
