"""A field logbook for pin joints and hitch links, kept as plain TOML.

A program reads one with `open_logbook`:

>>> import fieldlog
>>> book = fieldlog.open_logbook("sample_machines")
>>> [machine.id for machine in book.machines()]
['flail-mower', 'hill-tractor', 'mini-digger', 'small-loader', 'yard-tractor']
>>> book.findings("mini digger")[0].verdict
'renew'

Importing this loads nothing of the program; opening a logbook does.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from fieldlog.app.library import Library

__version__ = "0.1.0"
__all__ = ["__version__", "open_logbook"]


def open_logbook(folder: "str | Path") -> "Library":
    """Open a logbook's folder; what the answers hold, and in which units, stands at each question of a `Library`.

    Files are read once, when something is first asked of them: open it again to see what was written since.

    Raises:
        FieldlogError: there is no logbook in the folder; the message is a sentence.
    """
    from fieldlog.app.library import open_logbook as opened

    return opened(folder)
