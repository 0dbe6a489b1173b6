"""What the program raises; each message is a sentence meant for the person at the machine."""


class FieldlogError(Exception):
    """A broken circumstance that the person can do something about."""


class QuantityError(FieldlogError, ValueError):
    """A typed value that cannot be read; the message says what would be accepted."""


class StoreError(FieldlogError):
    """A file or folder that cannot be read or written as asked."""


class MeasureError(FieldlogError, ValueError):
    """Readings from which the size asked for cannot be worked out."""
