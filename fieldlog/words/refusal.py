"""Why something could not be read or written, in whole sentences; and what the system said, within one."""

import errno
from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.quantity.units import Units

SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        "no_logbook": "{folder} holds no {file}; give the folder of a logbook.",
        "not_locked": "The logbook cannot be locked: {why}.",
        "not_opened": "The logbook folder {folder} cannot be opened: {why}.",
        "locked": "Another program has been writing to this logbook for {seconds} s; try again.",
        "always_changed": "{file} is being changed by another program all the time; try again.",
        "no_name": "{name} cannot be the name of a {what}; {accepted}.",
        # of a file
        "folder_not_made": "{folder} cannot be made: {why}.",
        "not_written": "{file} could not be written: {why}. Nothing that was accepted before is lost.",
        "not_made": "{file} could not be made: {why}. Nothing that was accepted before is lost.",
        "not_ordinary": "{file} is no ordinary file; nothing is written to it.",
        "changed": "{file} was changed by another program.",
        "replaced": "{file} was replaced by another program.",
        "cannot_read": "{file} cannot be read: {why}.",
        "cannot_add": "{file} cannot be added to: {why}.",
        "cannot_change": "{file} cannot be changed: {why}.",
        "cannot_write_to": "{folder} cannot be written to: {why}.",
        "broken_head": "{file} cannot be added to: its head is broken. fieldlog check says how.",
        "no_machine": "{folder} is gone or holds no {file}; nothing was written.",
        "newer": "{file} was made by a newer program; nothing is written to it.",
        "made_by_newer": "{file} was made by a newer program; nothing was written.",
        "not_there": "{file} is not there; nothing was written.",
        # of a change
        "not_records": "{file}: {name} is not a list of records; write [[{name}]] before each.",
        "not_a_table": "{file}: {name} is not a table; write [{name}] above its keys.",
        "id_there": '{file}: there is a record "{id}" under [[{name}]] already.',
        "record_gone": "{file}: the record to change is not there any more; look at the list again.",
        "not_safely": "{file} cannot be changed safely here; edit it by hand.",
        "odd_layout": "The file is written in a way that cannot be changed safely here; edit it by hand.",
        "no_such_file": "{file} is neither {logbook} nor the {machine} of a machine.",
        "no_format": "{file} is empty or not a logbook file; {accepted}, then change it here.",
        "not_utf8": "{file} is not UTF-8 text; mend that first (fieldlog check says where).",
        "broken": "{file}: {wrong}; mend that first, then change it here.",
        # of what would not read back the same
        "entry_differs": "This entry cannot be written so that it reads back the same; nothing was written.",
        "trial_differs": "This trial cannot be written so that it reads back the same; nothing was written.",
        "kept_differs": "This recommendation cannot be written so that it reads back the same; nothing was written.",
        "offer_differs": "The offer {name} cannot be written: it does not read back the same",
        "offer_wrong": "The offer {name} cannot be written: {key} {wrong}",
        "kept_too_often": "{most} recommendations for {link} on one day are too many.",
        "link_or_offer_gone": "The link or the offer is not in the files any more; nothing was written.",
        # of the sample
        "no_sample": "The sample fleet is not part of this installation; install the program again.",
        "no_room_for_sample": "No room for a copy of the sample fleet: {why}.",
        "sample_not_copied": "The sample fleet cannot be copied: {why}.",
        # why a file gives no bytes
        "folder": "it is a folder, not a file",
        "no_file": "it is a pipe, a device or the like, not an ordinary file",
        "too_large": "it is {megabytes} MB, and a logbook's file is never over {most} MB",
        "bad_path": "its name cannot be a file's name",
    }
)

_BY_NUMBER: Mapping[int, str] = MappingProxyType(
    {
        errno.ENOSPC: "the disk is full",
        errno.EDQUOT: "your share of the disk is used up",
        errno.EROFS: "the disk is read-only",
        errno.EACCES: "permission denied",
        errno.EPERM: "permission denied",
        errno.EIO: "the disk reports an error",
        errno.ENOENT: "it is not there",
        errno.ENOTDIR: "a file stands where a folder should be",
        errno.EISDIR: "it is a folder, not a file",
        errno.EEXIST: "it is there already",
        errno.ELOOP: "it is a link that leads back to itself",
        errno.ENAMETOOLONG: "its name is too long",
        errno.EFBIG: "it would grow larger than this disk allows",
        errno.EMFILE: "too many files are open",
        errno.ENFILE: "too many files are open",
    }
)


def by_system(units: Units, *, number: int, told: str) -> str:
    """Say why the system refused, in plain words where there are any."""
    return _BY_NUMBER.get(number) or told
