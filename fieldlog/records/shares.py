"""Limits as people write them: a length, or a share of the pin in percent."""

import re
from decimal import Decimal

from fieldlog.errors import QuantityError
from fieldlog.records.machine import Share
from fieldlog.records.quantities import Length, Units, parse_length

_SHARE = re.compile(r"^(?P<number>\d{1,3}(?:[.,]\d{1,4})?)\s*%$", re.ASCII)
_WHOLE = 100


def parse_length_or_share(text: str, default_unit: Units = "mm") -> Length | Share:
    """Read `1.0 mm` or `3.5 %`.

    Raises:
        QuantityError: the text is neither, or it is zero, or more than the whole.
    """
    match = _SHARE.match(text.strip())
    if match is None:
        length = parse_length(text, default_unit)
        if length.mm <= 0:
            raise QuantityError(f'"{text}": a limit is more than nothing; write 1.0 mm or 3.5 %.')
        return length
    percent = Decimal(match["number"].replace(",", "."))
    if not 0 < percent <= _WHOLE:
        raise QuantityError(f'"{text}": a share lies above 0 % and up to 100 %.')
    return Share(" ".join(text.split()), percent)
