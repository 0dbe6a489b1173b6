"""What screens set going: rounds, notes and work done, machines and their parts; each asks by a form, then writes."""

from fieldlog.tui.actions.evidence import open_evidence
from fieldlog.tui.actions.parts import add_machine, add_to_machine, correct, correct_limit
from fieldlog.tui.actions.rounds import start_round
from fieldlog.tui.actions.sightings import note_form, note_from, record_deed, record_note

__all__ = [
    "add_machine",
    "add_to_machine",
    "correct",
    "correct_limit",
    "note_form",
    "note_from",
    "open_evidence",
    "record_deed",
    "record_note",
    "start_round",
]
