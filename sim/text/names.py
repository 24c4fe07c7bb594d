"""Names as a person types them: in any case, shortened, or nearly right.

A name may be given whole, by its part after the dot, by the beginning of either, or by the
beginning of one of its words, as long as only one name fits. Hyphens, underscores and blanks are
the same.

Never here: which names there are.
"""

from collections.abc import Iterable
from difflib import get_close_matches

from sim.errors import CommandError
from sim.scenario.nearest import NEAREST, nearest
from sim.words.message import Message

_SHOWN = 40  # characters of a wrong name that are repeated to the person


def plain(name: str) -> str:
    """Return a name with case, hyphens and blanks evened out."""
    return name.lower().replace("-", "_").replace(" ", "_")


def pick(given: str, names: Iterable[str], kind: str, where: str) -> str:
    """Return the one of `names` that is meant.

    Args:
        given: What was typed.
        names: The whole names.
        kind: What they are names of, a noun.
        where: The word of the language it was given to.

    Raises:
        CommandError: None fits, and the nearest is told; or several do, and they are told.
    """
    names = tuple(names)
    asked = plain(given)
    for fits in (_is_whole, _is_tail, _begins, _has_word):
        found = [name for name in names if fits(asked, plain(name))]
        if len(found) == 1:
            return found[0]
        if found:
            shown = ", ".join(found[:8]) + (" and more" if len(found) > 8 else "")
            raise CommandError(
                f"{given[:_SHOWN]!r} may be any of {shown}", where, "write more of the name"
            )
    short = given[:_SHOWN]
    raise CommandError(f"there is no {kind} called {short!r}", where, _advice(short, names))


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
    tails = {plain(name.rpartition(".")[2]): name for name in names}
    close = get_close_matches(plain(given), tails, n=1, cutoff=0.6)
    if close and not get_close_matches(given.lower(), names, n=1, cutoff=0.6):
        return NEAREST(name=tails[close[0]])
    return nearest(given, names)
