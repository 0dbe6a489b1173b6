"""Why something typed was refused, and what can be typed instead. Texts in quotes are as they were typed, shortened.

A sentence of what is wrong stands without its full stop: what would be accepted follows it, here or from `accepted.py`.
"""

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from fieldlog.quantity.units import Units, length_unit

SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        "nothing": "Nothing typed",
        # lengths
        "too_long": "That is {letters} characters long, too long for a size",
        "below_zero": '"{typed}" is below zero; a size is never negative',
        "comes_out_below_zero": '"{typed}" comes out below zero',
        "no_size": '"{typed}" is not a size',
        "no_length_unit": '"{unit}" in "{typed}" is not a unit of length here; use mm, cm, m, in or thou',
        "lean_without_fraction": '"{typed}": - and + mean just under and just over, and go after a fraction, '
        "as in 20 3/4-",
        "fraction_of_other": '"{typed}": a fraction is read in inches; write a decimal for {unit}',
        "odd_fraction": '"{typed}": an inch is divided in 2, 4, 8, 16, 32, 64 or 128, as in 3/4 or 19-3/64',
        "fraction_over_one": '"{typed}": the fraction is one inch or more; carry it into the whole inches',
        "comma": '"{typed}" could be {thousands} or {decimal}; write it with a point or without',
        "inches_over_foot": '"{typed}": twelve inches or more after the feet; carry them into the feet',
        "size": "Type a size like 19.42, 19.42 mm, 52.7cm, 0.755 in, 3/4, 19-3/64, 20 3/4- or 1' 8 3/4\".",
        "no_limit": '"{typed}": a limit is more than nothing; write 1.0 mm or 3.5 %',
        "no_share": '"{typed}": a share lies above 0 % and up to 100 %',
        "no_distance": '"{typed}" is no distance; type one like 60 mm behind, 40 mm ahead or 60 below',
        "no_angle": '"{typed}" is no angle from 0 to {most} degrees; type one like 8 or 8 deg',
        # other values
        "no_value": '"{typed}" cannot be read in {unit}; type a number and its unit, such as 170 {unit}',
        "no_unit": '"{typed}" has no unit',
        "no_temperature": '"{typed}" is no weather to measure in; type it as 8 degC or 46 degF',
        "no_clock": '"{typed}" is no clock position',
        "no_turns": '"{typed}" is no count of turns',
        "turns_cannot_be": '"{typed}" turns cannot be right',
        "no_day": '"{typed}" is no day of the year',
        "no_interval": '"{typed}" is no interval',
        "no_months": '"{typed}" does not say when it works',
        "not_shown": '"{typed}" is not what an instrument shows',
        "shown": "Type what it shows, such as 0.00, 0.02 or -0.01.",
        "several_shown": "Type what it shows, such as 0.00, 0.02 or -0.01; several with blanks between.",
        # what was seen of a joint's pin
        "no_thread_kind": '"{typed}": the links have threads inch or threads metric',
        "much_play": '"{typed}" is more than {most} mm; type the clearance, such as {word} 0.6 mm',
        "no_result": '"{typed}": does it go or not?',
        "no_pin": '"{typed}": a pin or shank is above 0 and at most {most} mm',
        "named_drill": '"{typed}": letter and number drills are thinner than any pin here (Z is 0.413 in, 10.49 mm); '
        "type what the caliper reads on the shank",
        "no_size_in": '"{typed}" has no size that can be read',
        # threads and fits
        "left_hand": '"{typed}": leave LH out',
        "hand_of_each_end": "the hand is written for each end of the link",
        "no_thread": '"{typed}" is no thread known here',
        "no_thread_at_all": '"{typed}" is no thread',
        "no_pitch": '"{typed}": a special thread needs its pitch, as in M24x2.5 special',
        "not_listed": '"{typed}": no M{size} is listed from M8 to M64',
        "measure_crests": "measure the rod over its crests again",
        "measure_ten": "measure over ten crests and divide by ten. If it is truly otherwise, write M{size}x{pitch} "
        "special",
        "count_threads": '"{typed}": count the threads over one inch. If it is truly otherwise, write {written} UNS',
        "count_them": "count the threads over one inch. If it is truly otherwise, write {written} UNS",
        "no_series": '"{typed}": no {series} of that size is listed',
        "threads_an_inch": "write the threads an inch, as in 3/4-10",
        "no_count": '"{typed}" has no threads an inch',
        "odd_pitch": '"{typed}": the pitch does not go with the diameter',
        "no_class": '"{name}" is no tolerance class: {accepted}',
        "no_such_class": '"{name}" is not in the table: {accepted}',
        "no_grade": "grade {grade} is not in the table: use 5 to 13",
        "no_nominal": "{nominal_mm} mm is not in the table: use a size over 3 and up to 120 mm",
    }
)

_KINDS: Mapping[str, str] = MappingProxyType({"bar": "pressure", "kg": "weight", "liter/minute": "flow", "kN": "force"})


def no_kind(units: Units, *, typed: str, unit: str) -> str:
    """Say that something is no pressure, no weight and so on."""
    return f'"{typed}" is no {_KINDS[unit]}'


def no_kind_here(units: Units, *, typed: str, unit: str) -> str:
    """Say that something is a pressure, a weight and so on that no machine here has."""
    return f'"{typed}" is no {_KINDS[unit]} that can be here'


def instead(units: Units, *, accepted: str) -> str:
    """Make a sentence of its own of what would be accepted."""
    return f"{accepted[:1].upper()}{accepted[1:]}."


def one_of(units: Units, *, typed: str, choices: Sequence[str]) -> str:
    """Say what may be typed here."""
    return f'"{typed}": write one of {", ".join(choices)}'


def evidence(units: Units, *, unit: Units) -> str:
    """Say what can be typed of a pin, with sizes as they are in the unit of a bare number."""
    return f"Type {length_unit(unit).trials}; or keeper cotter, pin bolt, threads inch, category 1."


def pitches(units: Units, *, typed: str, size: str, listed: Sequence[str]) -> str:
    """Say which pitches a metric thread comes with."""
    return f'"{typed}": M{size} comes with a pitch of {", ".join(listed[:-1])} or {listed[-1]} mm'


def usual_threads(units: Units, *, typed: str, listed: Sequence[str]) -> str:
    """Say which inch threads of a size are usual."""
    return f'"{typed}": the usual threads of that size are {" or ".join(listed)}'


def trapezoidal(units: Units, *, typed: str, listed: Sequence[str]) -> str:
    """Say which pitches a trapezoidal thread has."""
    return (
        f'"{typed}": a trapezoidal thread has a pitch of {", ".join(listed)} mm, '
        "and with several starts a lead that is a multiple of it, as in Tr 40x14 P7"
    )
