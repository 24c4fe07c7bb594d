"""Advice for a name that is not known: the nearest one that is."""

from collections.abc import Iterable
from difflib import get_close_matches
from typing import Final

from sim.scenario.scalars import TAKE_OUT
from sim.words.fields import name, number
from sim.words.message import Message, row

_CLOSE: Final = 0.6  # of difflib's ratio
_MOST: Final = 12
NEAREST: Final = row("nearest.one", "the nearest name is {name}", name=name())
_ALL: Final = row("nearest.all", "the names are {names}", names=name())
_MANY: Final = row(
    "nearest.many", "the names are {names} and {more} more", names=name(), more=number()
)


def nearest(word: str, names: Iterable[str]) -> Message:
    """Return advice for a name that is not one of `names`: the nearest, or all if they are few."""
    names = sorted(names)
    by_lower = {name.lower(): name for name in names}
    close = get_close_matches(word.lower(), by_lower, n=1, cutoff=_CLOSE)
    if close:
        return NEAREST(name=by_lower[close[0]])
    if not names:
        return TAKE_OUT
    some, more = ", ".join(names[:_MOST]), len(names) - _MOST
    return _MANY(names=some, more=more) if more > 0 else _ALL(names=some)
