"""From what is said to English: the function of an area's module that bears the code's name makes the sentence."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from string import Formatter

from fieldlog.errors import FieldlogError, StoreError
from fieldlog.quantity.said import Said
from fieldlog.quantity.text import harmless
from fieldlog.quantity.units import Units
from fieldlog.records.problems import Problem


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence with places for what it is about, as an area's `SENTENCES` have them."""

    words: str

    def __call__(self, units: Units, **about: object) -> str:
        """Return the sentence about these."""
        return self.words.format_map(about)

    @property
    def names(self) -> frozenset[str]:
        """What it is about, by name."""
        return frozenset(name for _, name, _, _ in Formatter().parse(self.words) if name)


def say(thing: Said, units: Units) -> str:
    """Return something said as English, in the person's units; what it holds that was said itself is made words first.

    Raises:
        KeyError: there are no words for its code.
    """
    return speaker_of(thing.code)(units, **{name: _in_words(value, units) for name, value in thing.about})


def words_of(thing: Said | str | None, units: Units) -> str:
    """Return something said as English, what a person typed as it is, and nothing as nothing."""
    if isinstance(thing, Said):
        return say(thing, units)
    return thing or ""


def say_all(things: Iterable[Said], units: Units) -> str:
    """Return several things said one after the other."""
    return " ".join(say(thing, units) for thing in things)


def problem_parts(problem: Problem) -> tuple[str, str]:
    """Return what is wrong and what would be accepted, which may be empty."""
    return say(problem.wrong, "mm"), say(problem.accepted, "mm") if problem.accepted is not None else ""


def problem_text(problem: Problem) -> str:
    """Return `file:line: key: what is wrong; what would be accepted`."""
    wrong, accepted = problem_parts(problem)
    place = f"{problem.file}:{problem.line}" if problem.line else problem.file
    key = f" {problem.key}:" if problem.key else ""
    return harmless(f"{place}:{key} {wrong}{f'; {accepted}' if accepted else ''}")


def error_text(error: FieldlogError) -> str:
    """Return what an error says to the person at the machine."""
    if not isinstance(error.what, Said):
        return harmless(str(error.what))
    wrong, accepted = say(error.what, "mm"), say(error.accepted, "mm") if isinstance(error.accepted, Said) else ""
    if accepted[:1].islower():
        return harmless(f"{wrong}; {accepted}.")
    ended = wrong if wrong.endswith((".", "?")) or isinstance(error, StoreError) else f"{wrong}."
    return harmless(f"{ended} {accepted}".rstrip())


def _in_words(value: object, units: Units) -> object:
    if isinstance(value, Said):
        return say(value, units)
    if isinstance(value, tuple) and value and all(isinstance(one, Said) for one in value):
        return tuple(say(one, units) for one in value)
    return value


@cache
def speaker_of(code: str) -> Callable[..., str]:  # type: ignore[explicit-any] # each sentence has its own arguments
    """Return the function that makes a sentence of a code; an area's words are loaded when they are first spoken."""
    area, _, name = code.partition(".")
    words = _area(area)
    sentence = getattr(words, "SENTENCES", {}).get(name)
    if isinstance(sentence, str):
        return Sentence(sentence)
    spoken = getattr(words, name, None)
    if not callable(spoken):
        raise KeyError(f"no words for {code!r}")
    return spoken  # type: ignore[no-any-return] # the tests hold every code against its function's arguments


def _area(area: str) -> object:  # noqa: C901, PLR0911, PLR0912, PLR0915 -- a table
    """Return the module of an area, loaded when it is first spoken of."""
    match area:
        case "accepted":
            from fieldlog.words import accepted

            return accepted
        case "corner":
            from fieldlog.words import corner

            return corner
        case "eye":
            from fieldlog.words import eye

            return eye
        case "finding":
            from fieldlog.words import finding

            return finding
        case "hitch":
            from fieldlog.words import hitch

            return hitch
        case "kept":
            from fieldlog.words import kept

            return kept
        case "link":
            from fieldlog.words import link

            return link
        case "measuring":
            from fieldlog.words import measuring

            return measuring
        case "metal":
            from fieldlog.words import metal

            return metal
        case "number":
            from fieldlog.words import number

            return number
        case "offer":
            from fieldlog.words import offer

            return offer
        case "oil":
            from fieldlog.words import oil

            return oil
        case "pin":
            from fieldlog.words import pin

            return pin
        case "problem":
            from fieldlog.words import problem

            return problem
        case "refusal":
            from fieldlog.words import refusal

            return refusal
        case "repair":
            from fieldlog.words import repair

            return repair
        case "season":
            from fieldlog.words import season

            return season
        case "step":
            from fieldlog.words import step

            return step
        case "typed":
            from fieldlog.words import typed

            return typed
        case "trend":
            from fieldlog.words import trend

            return trend
    raise KeyError(f"no words of {area!r}")
