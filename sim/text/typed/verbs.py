"""Verbs of the shop that are no word of the session language, and what is written instead.

A search aid, no second name: what is typed is refused all the same, and the right line is told.

Never here: the words themselves (see `language`).
"""

from collections.abc import Iterable
from typing import Final

from sim.errors import CommandError
from sim.session.inspections import INSPECTIONS
from sim.signals import BY_KEY, Source
from sim.text.names import SEVERAL, pick
from sim.text.typed.reading import POINTS
from sim.words.fields import name
from sim.words.message import NOTHING, Message, plain, row

_HOLD: Final = row("verb.hold", "for the key write tap {name}, or hold {name} 2", name=name())
_LATCH: Final = row(
    "verb.press", "it stays as it is left: write press {name}, and release {name}", name=name()
)
_INSPECT: Final = row("verb.inspect", "for the inspection write inspect {name}", name=name())
_SET: Final = row("verb.set", "for the set point write set {name} VALUE", name=name())
_ANY: Final = row("verb.any", "write {word} and one of {names}", word=name(), names=name())
_KEYS: Final = plain("verb.keys", "for a key write tap NAME, or hold NAME 2; keys lists the names")
_LOOKS: Final = plain("verb.looks", "for a look write inspect NAME; inspections lists the names")
_POINTS: Final = plain("verb.points", "for a setting write set NAME VALUE; points lists the names")

# What a verb is said of, and in either language that ships the verbs, as a hand at the keyboard writes them.
_VERBS: Final = (
    ("inspect", _LOOKS, (
        "measure", "check", "read", "medir", "mida", "mirar", "mire", "leer", "lea",
    )),
    ("set", _POINTS, (
        "slide", "adjust", "wind", "shut", "swing", "fill", "mop", "close", "open", "ajustar", "ajuste", "ponga",
        "cierre", "abra",
    )),
    ("tap", _KEYS, (
        "push", "pull", "switch", "raise", "lower", "lift", "clamp", "feed", "pulse", "pulsar", "suba", "baje", "tire",
        "conecte",
    )),
)  # fmt: skip
_NAMES: Final[dict[str, tuple[Iterable[str], str]]] = {
    "tap": (BY_KEY, "key"),
    "inspect": (INSPECTIONS, "inspection"),
    "set": (POINTS, "set point"),
}


def meant(line: str) -> Message:
    """Return what is written for a line that begins with no word; nothing where nobody can tell.

    Args:
        line: A verb of the shop with a name behind it or without, or a name alone.
    """
    verb, _, rest = line.strip().partition(" ")
    for word, said, verbs in _VERBS:
        if verb.lower() in verbs:
            return _named(rest, word) or _named(verb, "tap") or said
    tried = (_named(typed, word) for typed in (line.strip(), verb) for word in _NAMES)
    return next((said for said in tried if said), NOTHING)


def _named(typed: str, word: str) -> Message:
    names, kind = _NAMES[word]
    try:
        found = pick(typed, names, kind, "") if typed else ""
    except CommandError as fault:
        return _ANY(word=word, names=fault.what["names"]) if fault.what.row is SEVERAL else NOTHING
    if not found:
        return NOTHING
    if word == "tap":
        return (_LATCH if BY_KEY[found].source is Source.LATCH else _HOLD)(name=found)
    return (_INSPECT if word == "inspect" else _SET)(name=found)
