"""A field logbook for pin joints and hitch links, kept as plain TOML."""

__version__ = "0.1.0"
