"""Names as a person types them: in any case, shortened, or nearly right.

A name may be given whole, by its part after the dot, by the beginning of either, or by the
beginning of one of its words, as long as only one name fits. Hyphens, underscores and blanks are
the same.

Never here: which names there are.
"""

from collections.abc import Iterable
from difflib import get_close_matches
from typing import Final

from sim.errors import CommandError
from sim.scenario.nearest import NEAREST, nearest
from sim.text.in_danger import EMERGENCY_STOP, press_it, sounds_like_it
from sim.words.fields import name, one_of
from sim.words.message import Message, plain, row

_SHOWN: Final = 40  # characters of a wrong name that are repeated to the person
_MOST_NAMES: Final = 8
_FEW: Final = 3
_OF_THE_SAW: Final = ("key", "word", "set point", "device", "inspection", "state", "step", "mode")
_CLOSE: Final = 0.6  # of difflib's ratio

_NONE: Final = row(
    "name.none",
    "there is no {kind} called '{given}'",
    kind=one_of(
        "key", "set point", "position", "device", "inspection", "state", "value", "action", "word",
        "step", "fault", "part", "property", "print", "machine", "scenario", "mode",
        "interlock or action", "coil", "way",
    ),
    given=name(),
)  # fmt: skip
SEVERAL: Final = row("name.several", "'{given}' may be any of {names}", given=name(), names=name())
_MANY: Final = row(
    "name.many", "'{given}' may be any of {names} and more", given=name(), names=name()
)
_NEAREST_FEW: Final = row("name.nearest", "the nearest names are {names}", names=name())
_WRITE_MORE: Final = plain("name.write-more", "write more of the name")


def evened(name: str) -> str:
    """Return a name with case, hyphens and blanks evened out."""
    return name.lower().replace("-", "_").replace(" ", "_")


def pick(given: str, names: Iterable[str], kind: str, where: str) -> str:
    """Return the one of `names` that is meant.

    Args:
        given: What was typed.
        names: The whole names.
        kind: What they are names of, a noun of the table above.
        where: The word of the language it was given to.

    Raises:
        CommandError: None fits, and the nearest is told; or several do, and they are told.
    """
    names = tuple(names)
    asked, short = evened(given), given[:_SHOWN]
    for fits in (_is_whole, _is_tail, _begins, _has_word):
        found = [each for each in names if fits(asked, evened(each))]
        if len(found) == 1:
            return found[0]
        if found:
            several = SEVERAL if len(found) <= _MOST_NAMES else _MANY
            shown = ", ".join(found[:_MOST_NAMES])
            raise CommandError(several(given=short, names=shown), where, _WRITE_MORE)
    raise no_such(given, names, kind, where)


def no_such(given: str, names: Iterable[str], kind: str, where: str) -> CommandError:
    """Return the error of a name that is none of some names, with the nearest of them."""
    short, names = given[:_SHOWN], tuple(names)
    if kind in _OF_THE_SAW and sounds_like_it(given):
        advice = NEAREST(name=EMERGENCY_STOP) if EMERGENCY_STOP in names else press_it()
    else:
        advice = _advice(short, names)
    return CommandError(_NONE(kind=kind, given=short), where, advice)


def _is_whole(asked: str, name: str) -> bool:
    return asked == name


def _is_tail(asked: str, name: str) -> bool:
    return asked == name.rpartition(".")[2]


def _begins(asked: str, name: str) -> bool:
    if "." not in asked:
        return name.startswith(asked) or name.rpartition(".")[2].startswith(asked)
    pairs = zip(asked.split("."), name.split("."), strict=False)
    return asked.count(".") == name.count(".") and all(n.startswith(a) for a, n in pairs)


def _has_word(asked: str, name: str) -> bool:
    return any(word.startswith(asked) for word in name.rpartition(".")[2].split("_"))


def _advice(given: str, names: tuple[str, ...]) -> Message:
    """Return the name that is spelled most like it, of the same part where one is given."""
    part = given.lower().partition(".")[0]
    of_part = tuple(each for each in names if each.startswith(f"{part}."))
    if "." in given and of_part:
        return nearest(given, of_part)
    tails = {evened(each.rpartition(".")[2]): each for each in names}
    close = get_close_matches(evened(given), tails, n=1, cutoff=_CLOSE)
    if close and not get_close_matches(given.lower(), names, n=1, cutoff=_CLOSE):
        return NEAREST(name=tails[close[0]])
    if len(names) <= _MOST_NAMES or get_close_matches(given.lower(), names, n=1, cutoff=_CLOSE):
        return nearest(given, names)
    near = get_close_matches(evened(given), tails, n=_FEW, cutoff=0.0)
    return _NEAREST_FEW(names=", ".join(tails[each] for each in near))
