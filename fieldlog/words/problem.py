"""What is wrong in the files. What stands in quotes comes from a file, already shortened and harmless.

What would be accepted instead stands in `accepted.py`.
"""

from collections.abc import Mapping
from types import MappingProxyType

from fieldlog.quantity.units import Units

SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        # of a whole file or folder
        "unreadable": "cannot be read: {why}",
        "unlisted": "cannot be listed: {why}",
        "folder_unlisted": "the logbook's folder cannot be listed: {why}",
        "rounds_unlisted": "the rounds cannot be listed: {why}",
        "offers_unlisted": "the offers cannot be listed: {why}",
        "kept_unlisted": "the recommendations cannot be listed: {why}",
        "not_looked_into": "cannot be looked into: {why}",
        "leads_away": "a link to something that is no file of a logbook; nothing of it is read or shown",
        "utf16": "UTF-16 text, as some editors save it; nothing of it is read",
        "holds_nothing": "empty or not a logbook file: it holds nothing",
        "names_no_format": "empty or not a logbook file: it names no format",
        "no_format": "not the number of a format",
        "newer_format": "format {found} is newer than this program, which knows format {known}",
        "not_utf8": "not UTF-8 text: `{line}`",
        "torn": "cut off in the middle of writing: `{rest}`",
        "torn_zeros": "cut off in the middle of writing: zero bytes",
        "no_machine_name": "this name cannot be used for a machine",
        "no_offer_name": "this name cannot be used for an offer",
        "no_name": "this name cannot be used",
        "other_file_name": "the file is named {file}, but is of {named}",
        # of the text
        "long_line": "the line is {letters} characters long",
        "nested": "something is nested far too deep",
        "too_much": "too much is wrong above; nothing from here on is read",
        "clash_above": "[{name}] clashes with a heading or key above",
        "clash_below": "[{name}] clashes with a heading below",
        # of a record
        "not_records": "{name} is not a list of records",
        "not_a_record": "{value} is not a record",
        "not_a_table": "{value} is not a table",
        "missing": "is missing",
        "from_file_name": "is missing; it is taken from the file's name",
        "missing_for_way": 'is missing for slack_way = "{way}"',
        "passed_over": "{value} is not known here and is passed over",
        "empty": "is empty",
        "id_taken": "{value} is taken by one above, so this one is not used",
        "unknown": "{value} is not known",
        # of a value
        "not_usable": "{refusal}",
        "not_text": "{value} is not text",
        "not_a_list": "{value} is not a list",
        "not_a_choice": "{value} is not a choice here",
        "not_whole": "{value} is not a whole number from 1 to 999",
        "not_hours": "{value} is not a number of hours",
        "not_a_date": "{value} is not a date",
        "not_a_time": "{value} is not a time",
        "not_turns": "{value} is not a number of turns",
        "not_a_reading": "{value} is not a reading",
        "not_a_share": "{value} is not a share from above 0 to 100 %",
        "no_unit": "{value} has no unit",
        "no_clock": "{value} is no clock position",
        "no_temperature": "{value} is no temperature to measure in",
        "cannot_be_right": "{value} cannot be right",
        # of what records say together
        "start_not_below": "{start} is not below the {size} read",
        "no_slack_way": "nothing says which way the slack goes, so it is not used",
        "no_file_name": "{value} cannot stand in the name of a file; {accepted}",
        "same_hand": "both ends are {hand}-handed; turning the body would not change the length",
        "no_thread": "neither end has a thread, so it is no screw link",
        "twice": "{at} stands twice in this file",
        "no_entry": "there is no entry {value}",
        "hours_back": "{hours} h, but the meter showed {before} h already on {day}",
        "before_year": "{date} is before {year}",
        "to_come": "{date} is still to come",
        # of instruments, checks and studies
        "no_step": "an instrument always has a smallest step",
        "never_exact": "an instrument is never right to nothing",
        "wide_jaws": "{width} is too wide for inside jaws",
        "no_readings": "there is none",
        "cannot_close": "a {kind} cannot be closed to look at its zero",
        "needs_size": "a {kind} needs one above 0",
        "jaws_too_wide": "inside jaws {width} wide do not go into a bore of {size}",
        "zero_far_off": "closed jaws read about 0, so this check is not used",
        "readings_far_off": "the readings are not near the known size, so this check is not used",
        "not_in_plan": "{value} is not in the study's plan",
        "names_nobody": "names nobody",
        "few_holes": "a study needs two holes or more",
        "trials": "{trials} trials each",
        # of a hitch
        "wrong_way": '"{typed}" goes the wrong way',
        "no_roll": "a roll of nothing needs no tilt",
        "not_higher": "{high} is not higher than the lowest, {low}",
        "out_of_reach": "{height} is {beyond_mm} mm out of the lower link's reach",
        "beyond_link": "{hole} is beyond the end of the lower link, {link}",
        "rod_misses": "with the balls at {height} it {reach}",
        "work_lower": "{high} is lower than work_lowest, {low}",
        "remotes": "{remotes} remotes cannot be right",
        "no_hose": "{size} is no hose",
        # of offers and what is kept of them
        "offer_sense": "{wrong}",
        "rests_on_nothing": "it rests on nothing",
        "table_not_utf8": "not UTF-8 text",
        "table_empty": "the table is empty",
        "many_offers": "more than {most} offers",
        "no_offer": "there is no offer under the headings",
        "cells": "{cells} cells under {headings} headings",
        "no_row": "the row that begins here cannot be read: {why}",
        "heading_twice": "{value} stands twice",
        "no_column": "there is no such column",
        "nameless": "an offer without a name",
        "named_already": "{value} stands on line {line} already",
    }
)

TOML_FAULTS: Mapping[str, str] = MappingProxyType(
    {
        "equals": "there is no = after the key",
        "value": "the value cannot be read",
        "left over": "something is left over after the value",
        "quote": "the text has no closing quote",
        "character": "a character stands here that must not",
        "bracket": "a bracket or quote is not closed",
        "key twice": "the key stands twice",
        "heading twice": "the heading clashes with one above",
        "heading and key": "the heading clashes with a key above",
        "twice between braces": "a key stands twice between the braces",
        "statement": "this is neither a key nor a heading",
        "key": "a key cannot begin like this",
        "list": "the list is not closed",
        "braces": "the braces are not closed",
        "date": "there is no such date or time",
        "backslash": "a backslash stands alone",
        "digits": "the number has too many digits",
        "unknown": "this cannot be read",
    }
)


def toml(units: Units, *, fault: str, column: int, line: str) -> str:
    """Say what keeps a line from being read, at which column where that is known."""
    wrong = TOML_FAULTS[fault]
    if not line:
        return wrong
    return f"{wrong} at column {column} of `{line}`" if column else f"{wrong} in `{line}`"


def offer_there(units: Units, *, name: str, key: str, was: str, here: str) -> str:
    """Say that an offer of a table is in the logbook with another figure."""
    before = f"its {key.replace('_', ' ')} is {was}" if was else f"it has no {key}"
    return f"the offer {name} is there already, and {before}, here {here}"
