"""From what is said to English: the function of an area's module that bears the code's name makes the sentence."""

from collections.abc import Callable, Iterable
from functools import cache

from fieldlog.quantity.lengths import Units
from fieldlog.quantity.said import Said


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
    spoken = getattr(_area(area), name, None)
    if not callable(spoken):
        raise KeyError(f"no words for {code!r}")
    return spoken  # type: ignore[no-any-return] # the tests hold every code against its function's arguments


def _area(area: str) -> object:  # noqa: C901, PLR0911, PLR0912 -- a table
    """Return the module of an area, loaded when it is first spoken of."""
    match area:
        case "finding":
            from fieldlog.words import finding

            return finding
        case "hitch":
            from fieldlog.words import hitch

            return hitch
        case "link":
            from fieldlog.words import link

            return link
        case "measuring":
            from fieldlog.words import measuring

            return measuring
        case "number":
            from fieldlog.words import number

            return number
        case "offer":
            from fieldlog.words import offer

            return offer
        case "pin":
            from fieldlog.words import pin

            return pin
        case "problem":
            from fieldlog.words import problem

            return problem
        case "repair":
            from fieldlog.words import repair

            return repair
        case "season":
            from fieldlog.words import season

            return season
        case "step":
            from fieldlog.words import step

            return step
        case "trend":
            from fieldlog.words import trend

            return trend
    raise KeyError(f"no words of {area!r}")
