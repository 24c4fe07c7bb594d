"""How what follows a word of the session language is read, and what is said where it will not do.

Never here: which words there are.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from sim.control import dials
from sim.control.actions import BY_NAME as ACTIONS
from sim.control.interlocks import PERMISSIVES
from sim.control.table import TABLES
from sim.debrief.evidence import EXPECTS
from sim.errors import CommandError
from sim.faults.spares import SPARES
from sim.logic.bench.force import BY_NAME as BY_ROW
from sim.logic.bench.force import NUMBERS, refuse_metal
from sim.plant import set_points
from sim.plant.set_points import Setting
from sim.session import inspections
from sim.session.inspections.probes import OHMS, VOLTS, probes
from sim.signals import BY_KEY, BY_TAG, MODE_SWITCH
from sim.text.names import evened, no_such, pick
from sim.words.fields import name, part
from sim.words.message import Message, plain, row
from sim.words.speech import reader

LONGEST_WAIT_S: Final = 86_400.0
STATES: Final = {f"{t.name}.{state.lower()}": (t.name, state) for t in TABLES for state in t.states}
MODES: Final = tuple(BY_TAG[tag].key.partition(".")[2] for tag in MODE_SWITCH)
POINTS: Final = (*set_points.BY_NAME, *dials.BY_NAME)

# What looks like a set point but is set in another way.
_SET_OTHERWISE: Final = {
    "band.speed_m_min": plain(
        "word.set.band-speed",
        "start the band, then hold band.faster or band.slower; see the dial in look",
    )
}
_SECONDS_IN: Final = {"": 1.0, "s": 1.0, "m": 60.0, "min": 60.0, "h": 3600.0}
_TAG: Final = re.compile(r"[A-Z]{1,2}[0-9]{1,3}[A-Z]?")  # of a device
_TIME: Final = re.compile(r"([0-9]+(?:\.[0-9]+)?)\s*([a-z]*)")
_MEASURE: Final = re.compile(r"([-+]?[0-9]+(?:\.[0-9]+)?(?:[eE][-+]?[0-9]{1,3})?)\s*(\S*)")

_ALONE: Final = row("word.alone", "nothing can follow {word}", word=name())
_WRITE_ALONE: Final = row("word.alone.write", "write {word} alone", word=name())
_NO_TERMINAL: Final = row("line.no-terminal", "{given} is no terminal", given=name())
_LIKE_TERMINAL: Final = plain(
    "line.no-terminal.write", "write a device and the mark on its terminal, such as B12:4"
)
_LISTED: Final = row(
    "line.no-terminal.listed",
    "write a device and the mark on its terminal, such as B12:4; wiring {tag} lists those of {tag}",
    tag=name(),
)
_MORE: Final = row("word.more", "{word} needs more than that", word=name())
_WRITE_AS: Final = row("word.more.write", "write it as: {usage}", usage=part())
_NO_PALMS: Final = row("word.palms.not-wanted", "{name} needs no palm keys", name=name())
_WITHOUT: Final = row(
    "word.palms.not-wanted.write", "write tap {name}, or hold {name} 2", name=name()
)
_NOT_BY_HAND: Final = row("word.set.not-by-hand", "{point} is not set by hand", point=name())
_NO_NUMBER: Final = row("word.set.no-number", "'{given}' is not a number", given=name())
_LIKE_NUMBER: Final = plain("word.set.no-number.write", "write it like 40 or 231.5")
_IN_UNIT: Final = row(
    "word.set.unit", "'{given}' will not do; it is set in {unit}", given=name(), unit=name()
)
_NO_UNIT: Final = row("word.set.no-unit", "'{given}' will not do; it has no unit", given=name())
_NUMBER_ALONE: Final = plain("word.set.unit.write", "write the number alone")
_NO_TIME: Final = row("word.time.none", "'{given}' is not a time", given=name())
_LIKE_TIME: Final = plain("word.time.none.write", "write it like 10, 2.5s, 2m or 1h")
_TOO_LONG: Final = row("word.time.too-long", "{given} is longer than a day", given=name())
_AT_MOST: Final = plain("word.time.too-long.write", "give at most 24h")


@dataclass(frozen=True, slots=True)
class TypedAct:
    """One line, understood."""

    word: str
    names: tuple[str, ...] = ()
    seconds: float = 0.0
    setting: Setting = ""
    text: str = ""


@dataclass(frozen=True, slots=True)
class Word:
    """One word of the language."""

    name: str
    usage: Message
    does: Message
    read: "Reads"


Reads = Callable[[Word, Sequence[str]], TypedAct]
"""Returns the act of a word and what follows it; raises `CommandError` where that will not do."""


def nothing(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read a word that stands alone."""
    if rest:
        raise CommandError(_ALONE(word=word.name), what_to_do=_WRITE_ALONE(word=word.name))
    return TypedAct(word.name)


def keys(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read one or more keys."""
    needs_more(word, rest)
    found: list[str] = []
    while rest:
        count = next((n for n in range(len(rest), 1, -1) if _key_of(rest[:n])), 1)
        key = _key_of(rest[:count]) or pick(rest[0], BY_KEY, "key", word.name)
        found, rest = [*found, key], rest[count:]
    return TypedAct(word.name, tuple(dict.fromkeys(found)))


def _key_of(words: Sequence[str]) -> str:
    """Return the key that several words name, as `emergency stop` or `head raise` do; empty for none."""
    asked = evened("_".join(words))
    tails = [key for key in BY_KEY if evened(key.rpartition(".")[2]) == asked]
    wholes = [key for key in BY_KEY if evened(key).replace(".", "_") == asked]
    return next((fits[0] for fits in (wholes, tails) if len(fits) == 1), "")


def keys_and_time(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read keys and then a time."""
    needs_more(word, rest, 2)
    return TypedAct(word.name, keys(word, rest[:-1]).names, seconds=_seconds(word, rest[-1:]))


def palms(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read a key that starts something with both palm keys."""
    needs_more(word, rest)
    key = pick(" ".join(rest), BY_KEY, "key", word.name)
    if key not in ACTIONS or not ACTIONS[key].palms:
        raise CommandError(_NO_PALMS(name=key), word.name, _WITHOUT(name=key))
    return TypedAct(word.name, (key,))


def one_name(names: Sequence[str], kind: str) -> Reads:
    """Return what reads one of some names."""

    def read(word: Word, rest: Sequence[str]) -> TypedAct:
        needs_more(word, rest)
        return TypedAct(word.name, (pick(" ".join(rest), names, kind, word.name),))

    return read


def maybe(read: Reads) -> Reads:
    """Return what reads the same, or nothing."""
    return lambda word, rest: read(word, rest) if rest else TypedAct(word.name)


def text(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read words as they stand."""
    needs_more(word, rest)
    return TypedAct(word.name, text=" ".join(rest))


def setting(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read a set point and what it is set to, with the `to` of a hint or without."""
    needs_more(word, rest, 2)
    asked = rest[0].lower()
    if asked in _SET_OTHERWISE:
        raise CommandError(_NOT_BY_HAND(point=asked), word.name, _SET_OTHERWISE[asked])
    point = pick(rest[0], POINTS, "set point", word.name)
    said_to = len(rest) > 2 and rest[1].lower() == "to"
    given = " ".join(rest[2 if said_to else 1 :])
    row = set_points.BY_NAME.get(point)
    if row is not None and row.words:
        return TypedAct(word.name, (point,), setting=pick(given, row.words, "position", point))
    return TypedAct(word.name, (point,), setting=_measure(point, given, row.unit if row else ""))


def _measure(point: str, given: str, unit: str) -> float:
    """Return a number that was typed, with its unit or without, in the set point's own unit."""
    measure = _MEASURE.fullmatch(reader().typed(given))
    if measure is None:
        raise CommandError(_NO_NUMBER(given=given), point, _LIKE_NUMBER)
    value, written = float(measure[1]), measure[2]
    if written in ("", unit):
        return value
    if unit and written == reader().unit(unit):
        return reader().metric(value, unit)
    what = _IN_UNIT(given=given, unit=unit) if unit else _NO_UNIT(given=given)
    raise CommandError(what, point, _NUMBER_ALONE)


def inspection(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read a way to look, and what is expected of it."""
    needs_more(word, rest)
    at = next((i for i, each in enumerate(rest) if i and each.lower() == "expect"), len(rest))
    rest, expect = rest[:at], expected(" ".join(rest[at + 1 :]))
    if rest[0].lower() == "meter":
        needs_more(word, rest, 2)
        return TypedAct(word.name, (f"meter {_metered(word, rest[1])}",), text=expect)
    if len(rest) == 2 and inspections.find(" ".join(rest)) is not None:  # a tool, and which piece
        return TypedAct(word.name, (" ".join(rest),), text=expect)
    if rest[0].lower() in (VOLTS, OHMS):
        return _probed(word, rest, expect)
    look = pick(" ".join(rest), inspections.INSPECTIONS, "inspection", word.name)
    return TypedAct(word.name, (look,), text=expect)


def _metered(word: Word, given: str) -> str:
    """Return the device of a wire; one that no signal is of is for the saw at hand to know."""
    try:
        return pick(given, BY_TAG, "device", word.name)
    except CommandError:
        if _TAG.fullmatch(given.upper()):
            return given.upper()
        raise


def probed(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read the terminals that the probes of a meter are put on."""
    at = next((i for i, each in enumerate(rest) if each.lower() == "expect"), len(rest))
    return _probed(word, (word.name, *rest[:at]), expected(" ".join(rest[at + 1 :])))


def _probed(word: Word, rest: Sequence[str], expect: str) -> TypedAct:
    needs_more(word, rest, 3 if rest[0].lower() == OHMS else 2)
    look = probes(" ".join((rest[0].lower(), *rest[1:])))
    if look is None:
        odd = next((each for each in rest[1:] if ":" not in each), "").upper()
        like = _LISTED(tag=odd) if _TAG.fullmatch(odd) else _LIKE_TERMINAL
        raise CommandError(_NO_TERMINAL(given=" ".join(rest[1:])), word.name, like)
    return TypedAct(word.name, (look.name,), text=expect)


def device(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read the tag of a device or one of its terminals, which the saw at hand has or has not."""
    needs_more(word, rest)
    return TypedAct(word.name, (rest[0].upper().partition(":")[0],))


def spare(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read a part to be exchanged, by its whole name: Q0 does not stand for its channel, or B1 for B12."""
    given = " ".join(rest)
    found = next((each for each in SPARES if evened(each) == evened(given)), "")
    if not found:
        raise no_such(given, SPARES, "part", word.name)
    return TypedAct(word.name, (found,))


def expected(text: str) -> str:
    """Return what a person expects of a look: one of EXPECTS for its word, else their own words."""
    text = " ".join(text.split())
    return text.lower() if text.lower() in EXPECTS else text


def waiting(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read how long to wait, or for what."""
    needs_more(word, rest)
    first = rest[0].lower()
    if first in ("piece", "job", "still") and len(rest) == 1:
        return TypedAct(word.name, (first,))
    if first == "until":
        needs_more(word, rest, 2)
        return TypedAct(
            word.name, tuple(pick(each, STATES, "state", word.name) for each in rest[1:])
        )
    return TypedAct(word.name, seconds=_seconds(word, rest))


def a_time(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read a time."""
    needs_more(word, rest)
    return TypedAct(word.name, seconds=_seconds(word, rest))


def _seconds(word: Word, rest: Sequence[str]) -> float:
    given = " ".join(rest).lower()
    found = _TIME.fullmatch(reader().typed(given))
    if found is None or found[2] not in _SECONDS_IN:
        raise CommandError(_NO_TIME(given=given), word.name, _LIKE_TIME)
    seconds = float(found[1]) * _SECONDS_IN[found[2]]
    if seconds > LONGEST_WAIT_S:
        raise CommandError(_TOO_LONG(given=given), word.name, _AT_MOST)
    return seconds


def forcing(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read a device and a value."""
    needs_more(word, rest, 2)
    refuse_metal("force", rest[0])
    tag = pick(rest[0], BY_TAG, "device", word.name)
    value = pick(" ".join(rest[1:]), ("on", "off", "out"), "value", word.name)
    return TypedAct(word.name, (tag, value))


def jumper(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read an interlock's number, or an action and a device; and whether the jumper comes out."""
    needs_more(word, rest)
    out = len(rest) > 1 and rest[-1].lower() == "out"
    given = rest[:-1] if out else rest
    if given[0].upper() in NUMBERS and len(given) == 1:
        bypassed = given[0].upper()
    elif given[0] in BY_ROW:
        bypassed = given[0]
    else:
        if len(given) == 1:
            refuse_metal("jumper", given[0])
        if len(given) == 1 and given[0] not in ACTIONS:
            known = (*NUMBERS, *ACTIONS)
            pick(given[0], known, "interlock or action", word.name)
        needs_more(word, given, 2)
        action = pick(given[0], ACTIONS, "action", word.name)
        subjects = {row.need.subject for row in PERMISSIVES if row.action == action}
        bypassed = f"{action} {pick(given[1], tuple(sorted(subjects)), 'device', action)}"
    return TypedAct(word.name, (bypassed, "out" if out else "in"))


def needs_more(word: Word, rest: Sequence[str], count: int = 1) -> None:
    """Refuse a word that too little follows; raises CommandError."""
    if len(rest) < count:
        raise CommandError(_MORE(word=word.name), what_to_do=_WRITE_AS(usage=word.usage))
