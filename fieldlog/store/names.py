"""Which names may stand in a path; the one place where a name from a file or a keyboard is let near the disk."""


def name_fault(name: str) -> str:
    """Return what is wrong with a name of a machine or person as a half sentence, or nothing."""
    raise NotImplementedError


def check_name(name: str, what: str) -> None:
    """Refuse a name that cannot stand in a path (StoreError)."""
    raise NotImplementedError
