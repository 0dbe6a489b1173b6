"""What the program raises; each says something to the person at the machine, as a code or as a sentence."""


class FieldlogError(Exception):
    """A broken circumstance that the person can do something about."""

    @property
    def what(self) -> object:
        """What is to be said of it: a `Said`, of which `fieldlog.words` makes a sentence, or a sentence."""
        return self.args[0] if self.args else ""

    @property
    def accepted(self) -> object:
        """What would be accepted instead, a `Said`; None where that is said with what is wrong, or not known."""
        return self.args[1] if len(self.args) > 1 else None


class QuantityError(FieldlogError, ValueError):
    """A typed value that cannot be read; it says what would be accepted."""


class StoreError(FieldlogError):
    """A file or folder that cannot be read or written as asked."""


class MeasureError(FieldlogError, ValueError):
    """Readings from which the size asked for cannot be worked out."""
