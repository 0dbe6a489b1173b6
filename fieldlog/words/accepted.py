"""What would be accepted in the place of what is wrong in a file: it follows "what is wrong; "."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from fieldlog.quantity.units import Units

_NAMES = 8
_LONGEST_LIST = 100
_QUOTES = 'put text and sizes in quotes, as in size = "19.42 mm", and write numbers with a point, as in 1234.5'
_KEY = 'write key = "value"'
_HEADINGS = "write [[...]] before each record"
_KEEP_ONE = "keep one of the two"

SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        "write": "write {example}",
        "in_quotes": "{accepted}, in quotes",
        # of a whole file or folder
        "file_itself": "put the file itself here",
        "it_as_utf8": "save it as UTF-8",
        "file_as_utf8": "save the file as UTF-8",
        "format": "write format = {format} as the first line",
        "newer": "it is only read, never written; get a newer fieldlog to write",
        "torn": "everything above it is used; the next entry turns it into a remark",
        "name": "use letters, digits, dashes and single dots, 60 at most, not starting with a dot",
        "letters": "use letters, digits and dashes",
        "rename": "rename the file, or mend date and who",
        # of the text
        "line_length": "at most {most} characters",
        "plain_keys": "write plain keys and values",
        "mend_first": "mend that first",
        "heading_before_each": _HEADINGS,
        # of a record
        "heading": "write [[{name}]]",
        "keys_under_heading": "write key = value lines under a [[...]] heading",
        "table": "write [{name}] before its keys",
        "did_you_mean": "did you mean {name}?",
        "own_id": "write a short name of its own",
        # of a value
        "length": "write a length in quotes with its unit, as \"19.42 mm\", '3/4 in' or '20 3/4- in'",
        "share": 'write a share of the diameter as "3.5 %"',
        "length_or_share": "{length}, or {share}",
        "readings": 'write each in quotes with its unit, as in ["0.01 mm", "-0.02 mm"]',
        "temperature": 'write it with its unit, as in "8 degC" or "46 degF"',
        "text": 'put it in quotes, as in "abc"',
        "list": 'write a list, as in ["lip", "dry"]',
        "whole": "write it as 3, without quotes",
        "hours": "write it as 1234.5, without quotes",
        "date": "write it as 2026-03-04, without quotes or time",
        "time": 'write the time of day in quotes as the last line, as in at = "09:34:12"',
        "mend_date": "mend the date",
        "mend_date_and_name": "mend the date here and in the file's name",
        "clock": "write the clock position as 12, 1:30, 3 or 4:30 (any from 12 to 11:59)",
        "turns": "write turns as a number such as 42, 42.5 or 42 1/2",
        "pressure": 'write a pressure with its unit, as "210 bar", "3000 psi" or "20.7 MPa"',
        "weight": 'write a weight with its unit, as "14 kg" or "31 lb"',
        "flow": 'write a flow with its unit, as "18.9 L/min" or "5 gpm"',
        "force": 'write a force with its unit, as "6 kN" or "1300 lbf"',
        "directed": 'write it with its unit and a direction, as "60 mm behind", "40 mm ahead" or "60 mm below"',
        "angle": 'write it in degrees, from 0 to 45, as "8 deg"',
        "day_of_year": 'write a day of the year, as "1 Mar" or "15 October"',
        "interval": 'write how often, as "10 h", "50 h", "14 days", "daily" or "weekly"',
        "months": 'write its months, as "March to October", "Apr to Jun, Sep" or "Nov to Mar, 2 days a week"',
        "thread": "write a thread as M24x3, M24, 3/4-10 UNC, 1 1/8-7 or Tr 30x6 (Tr 40x14 P7 with two starts)",
        "tolerance_class": "write a hole as H7, H8, H11, D9 and the like, a shaft as h8, f7, g6, d9, p6, r6, s6",
        # sizes that are possible
        "hole_size": "a hole or pin is above 0 and at most {most} mm",
        "ligament_size": "the metal beside a hole is above 0 and at most {most} mm",
        "play_size": "play or a feeler is at most {most} mm",
        "link_size": "a link is above 0 and at most 10 m long",
        "bore_size": "a bore, rod or eye is above 0 and at most {most} mm",
        "lever_size": "a lever is above 0 and at most 5 m",
        "at_most": "at most {most} mm",
        # of what records say together
        "slack_way": 'write slack_way = "turns", "in line", "side to side" or "top link"',
        "tool_radius": 'write how far the tool\'s edge is from the hinge or the pins, as in tool_radius = "650 mm"',
        "hands": 'write near_hand = "right" and far_hand = "left", or "none" for an end without thread',
        "other_time": "make it different, as in 09:34:12.2",
        "why_put_off": 'write why it is put off, as in text = "bush on order"',
        "entry_time": "write the time of the entry meant",
        "new_meter": 'strike out the wrong one, or add an [[event]] with deed = "meter replaced"',
        "none_of_kind": "nothing of this kind is in the logbook yet",
        "none_at_all": "there is none in the logbook",
        # of instruments, checks and studies
        "step": 'write it as "0.01 mm"',
        "error_limit": 'write the half-width within which it is right, as "0.03 mm", or leave the key out',
        "jaws": "write land + gap + land of the inside jaws, outer corner to outer corner, usually 0.5 to 2 mm",
        "instrument_first": "add the instrument first",
        "what_it_showed": 'write what it showed, as in ["0.01 mm", "0.00 mm"]',
        "check_open": 'check it with kind = "known bore" or "known outside"; a tape by its class',
        "known_size": 'write the size that is known, as in size = "20.000 mm"',
        "mend_jaws": "mend the size, or the instrument's jaw_width",
        "mend_check": "mend the readings, the size or the unit",
        "plan_first": "name them in the study's head",
        "trials": "write a number from 2 to {most}",
        # of a hitch
        "behind_or_ahead": "write it behind or ahead",
        "above_or_below": "write it above or below",
        "roll": 'leave it out, or write a roll such as "6 deg"',
        "ball_heights": "from the floor up to the balls, lowered and raised",
        "tape_link_again": "tape the pivot's height, the link and this height again",
        "tape_rod_again": "tape arm, rod, hole and this height again",
        "rod_hole": "from the lower link's pivot to the lift rod's hole",
        "working_heights": "heights of the balls while it works",
        "remotes": "write how many there are, up to {most}",
        "hose": 'write its inside diameter, as "3/8 in"',
        # of offers and what is kept of them
        "basis": "a kept recommendation has its [[basis]] records",
        "table_as_utf8": "save the table as CSV in UTF-8",
        "fewer_offers": "cut the table in pieces",
        "line_each": "one offer a line",
        "separator_in_quotes": "put text that holds the separator in quotes",
        "quotes_in_cells": "close every quote; put a quote inside a cell twice",
        "keep_one": _KEEP_ONE,
        "name_with_letters": "a name with letters or digits of its own",
        "name_each": "give each offer a name of its own",
        "of_offer": "{accepted}",
        "other_name_or_update": "give it another name, or import with --update to take the new figures",
    }
)

_TOML: Mapping[str, str] = MappingProxyType(
    {
        "equals": _KEY,
        "bracket": "close it on the same line",
        "key twice": _KEEP_ONE,
        "heading twice": _HEADINGS,
        "heading and key": _HEADINGS,
        "twice between braces": _KEEP_ONE,
        "statement": f"{_KEY}, or # before a remark",
        "key": _KEY,
        "list": "close it with ]",
        "braces": "close them with }",
        "date": "write a date as 2026-03-04",
        "backslash": "write it twice",
        "digits": "write a number that a person can read",
        "unknown": f"{_KEY} on a line of its own",
    }
)
_ARMS: Mapping[str, str] = MappingProxyType(
    {
        "turns": 'the lever arm of the pin about the hinge, as in lever_arm = "180 mm"',
        "side to side": 'how far the bushes are apart, as in lever_arm = "180 mm"',
        "top link": 'how far the top link is above the lower pins, as in lever_arm = "460 mm"',
    }
)
_HITCH_PARTS: Mapping[str, str] = MappingProxyType(
    {"lower_link": "a lower link", "height": "a mast", "lift_arm": "a lift arm", "lift_rod": "a lift rod"}
)


def toml(units: Units, *, fault: str) -> str:
    """Say how what the parser stopped at is written."""
    return _TOML.get(fault, _QUOTES)


def one_of(units: Units, *, choices: Sequence[str]) -> str:
    """Say what may be written here."""
    return f"write one of: {', '.join(choices)}"


def known(units: Units, *, names: Sequence[str]) -> str:
    """Say which names are known."""
    return f"known are: {_listed(names)}"


def plan(units: Units, *, names: Sequence[str]) -> str:
    """Say what a study's plan names."""
    return f"use one of: {_listed(names)}"


def columns(units: Units, *, keys: Sequence[str]) -> str:
    """Say which columns a table of offers has."""
    return f"columns are: {', '.join(_plain(key) for key in keys)}"


def column(units: Units, *, key: str) -> str:
    """Ask whether a column was meant."""
    return f"did you mean {_plain(key)}?"


def cell(units: Units, *, key: str) -> str:
    """Say how a size is written in a table, where no quotes are needed."""
    return f"write 533 mm, 21 in or 1-1/8 in, or name the column {_plain(key)} (mm)"


def lever_arm(units: Units, *, way: str) -> str:
    """Say what the lever arm is of a joint whose slack goes this way."""
    return f"write {_ARMS[way]}"


def hitch_size(units: Units, *, key: str, most: int) -> str:
    """Say how large a size of a hitch can be."""
    return f"{_HITCH_PARTS.get(key, 'this')} is above 0 and at most {most} mm"


def _plain(key: str) -> str:
    return key.replace("_", " ")


def _listed(names: Sequence[str]) -> str:
    """Return some names, harmless and few enough to be read."""
    shown = ", ".join(names[:_NAMES]) + (", ..." if len(names) > _NAMES else "")
    return shown if len(shown) <= _LONGEST_LIST else f"{shown[: _LONGEST_LIST - 3]}..."
