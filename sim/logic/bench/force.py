"""Force and jumper: hold a wire at one value, take a row out of the interlock table.

What is in stands in a banner for as long as it is in; nobody may forget it. Forcing changes what is
seen at the far end of a wire, not the machine; a jumper makes the controller overlook a row.

Never here: who may do it (see `session`).
"""

from collections.abc import Iterator, Set
from typing import Final

from sim.control.interlocks import (
    BY_NUMBER,
    INTERLOCKS,
    PERMISSIVES,
    REACTIONS,
    InterlockRow,
    Reaction,
)
from sim.errors import CommandError
from sim.logic.bench.trace import Traced
from sim.plant.power import HANDS_ON, MOTORS, ON_NO_WIRE
from sim.plant.safety_relay import STOPS
from sim.saw import Saw
from sim.signals import BY_TAG, OUTPUTS, Direction
from sim.words.fields import count, name, one_of, part, parts
from sim.words.message import NOTHING, Message, plain, row, sentences

ROWS: Final[tuple[InterlockRow, ...]] = (*PERMISSIVES, *REACTIONS)


NUMBERS: Final = tuple(lock.number for lock in INTERLOCKS if lock.wired)
BY_NAME: Final[dict[str, InterlockRow]] = {each.name: each for each in ROWS}

_NO_INTERLOCK: Final = row("jumper.unknown", "no interlock is called {asked}", asked=name())
_GIVE_INTERLOCK: Final = row(
    "jumper.give", "give one of {numbers}, or an action and a device like {like}",
    numbers=name(), like=name(),
)  # fmt: skip
_IS_METAL: Final = row(
    "force.metal",
    "{tag} is a part of the power path, which is metal with contacts of its own; no wire of the controller leads to it",
    tag=name(),
)  # fmt: skip
_NOTHING_REACHES: Final = plain(
    "force.metal.do", "look at it in the cabinet; on a real saw nobody bridges or forces it"
)
_NO_JUMPER: Final = row(
    "jumper.metal",
    "{tag} is a part of the power path, which is metal with contacts of its own; a jumper takes rows out of the "
    "table of interlocks, and feeds nothing",
    tag=name(),
)  # fmt: skip
_BY_METAL: Final = row(
    "jumper.by-metal",
    "{number} is carried out by locks and contacts of the machine; the controller has no row of it to take out",
    number=name(),
)
_NO_SIGNAL: Final = row("force.unknown", "there is no signal called {asked}", asked=name())
_GIVE_TAG: Final = row("force.give", "give a tag like {like}", like=name())


def refuse_metal(where: str, asked: str) -> None:
    """Refuse what only metal does, with why: no force and no jumper reaches it.

    Args:
        where: `force` or `jumper`.
        asked: A device, or an interlock.

    Raises:
        CommandError: It is a part of the power path, or an interlock that locks and contacts carry out.
    """
    asked = asked.upper()
    jumpers = where == "jumper"
    if asked in ON_NO_WIRE or (jumpers and asked in _IN_THE_PATH):
        raise CommandError(
            (_NO_JUMPER if jumpers else _IS_METAL)(tag=asked), where, _NOTHING_REACHES
        )
    if jumpers and asked in BY_NUMBER and BY_NUMBER[asked].metal:
        give = _GIVE_INTERLOCK(numbers=", ".join(NUMBERS), like="head.lower B33")
        raise CommandError(_BY_METAL(number=asked), where, give)


def rows_named(name: str) -> tuple[InterlockRow, ...]:
    """Return the rows that a jumper takes out: a number (I4), `action subject`, or one row's name.

    Raises:
        CommandError: No row has that name.
    """
    if name in BY_NAME:
        return (BY_NAME[name],)
    action, _, subject = name.partition(" ")
    found = tuple(each for each in ROWS if each.number == name) or tuple(
        each for each in PERMISSIVES if each.action == action and each.need.subject == subject
    )
    refuse_metal("jumper", name)
    if not found:
        raise CommandError(
            _NO_INTERLOCK(asked=repr(name)), "jumper",
            _GIVE_INTERLOCK(numbers=", ".join(NUMBERS), like="head.lower B33"),
        )  # fmt: skip
    return found


REAL_SAW: Final = plain(
    "caution.real-saw",
    "Never force or jumper anything on a real saw. Here neither reaches the safety circuit.",
)
_FREED: Final = row("force.freed", "{tag} is no longer forced.", tag=name())
_NOT_THE_PATH: Final = plain(
    "force.not-the-power-path",
    "The power path is metal with contacts of its own, so this feeds nothing that it does not feed.",
)
_IN_THE_PATH: Final = ("Q0", "K0", *STOPS, *MOTORS)
_BESIDE_THE_PATH: Final = frozenset((*HANDS_ON, "K0", *OUTPUTS))
_OF_THE_PATH: Final = frozenset(
    ("Q0", "K0", *STOPS, "S2", "S5", "supply")
)  # subjects of rows about it
_WHO: Final = one_of("the controller", "the machine")
_ON_SEEN: Final = row(
    "force.on.seen", "{tag} is forced on: {who} sees {meaning}.",
    tag=name(), who=_WHO, meaning=part(),
)  # fmt: skip
_OFF_SEEN: Final = row(
    "force.off.seen", "{tag} is forced off: {who} does not see that {meaning}.",
    tag=name(), who=_WHO, meaning=part(),
)  # fmt: skip
_JUMPER: Final = {
    on: row(
        f"jumper.{way}", f"The jumper over {{name}} is {way}: {{count}} row of the interlock table.",
        plural=f"The jumper over {{name}} is {way}: {{count}} rows of the interlock table.",
        name=name(), count=count(),
    )
    for on, way in ((True, "in"), (False, "out"))
}  # fmt: skip
_WARNING: Final = row(
    "banner", "WARNING: {what}. Take it out before anybody relies on it.", what=parts("; ")
)
_ON: Final = row("banner.forced-on", "{tag} is forced on", tag=name())
_OFF: Final = row("banner.forced-off", "{tag} is forced off", tag=name())
_OVER: Final = row("banner.jumper", "a jumper is over {number}", number=name())
_OVER_PART: Final = row(
    "banner.jumper-in-part",
    "a jumper is over {number} in part ({rows})",
    number=name(),
    rows=name(),
)


def force(saw: Saw, tag: str, value: bool | None) -> Message:
    """Hold a wire at a value, or let it go with None; return a sentence.

    Raises:
        CommandError: There is no such wire.
    """
    refuse_metal("force", tag)
    if tag not in BY_TAG:
        raise CommandError(_NO_SIGNAL(asked=repr(tag)), "force", _GIVE_TAG(like="B11"))
    saw.bus.force(tag, value)
    saw.bus.settle()
    if value is None:
        return _FREED(tag=tag)
    wire = BY_TAG[tag]
    who = "the controller" if wire.direction is Direction.INPUT else "the machine"
    said = (_ON_SEEN if value else _OFF_SEEN)(tag=tag, who=who, meaning=wire.text)
    return sentences(said, _NOT_THE_PATH) if tag in _BESIDE_THE_PATH else said


def jumper(saw: Saw, name: str, *, on: bool) -> Message:
    """Put a jumper over rows of the interlock table, or take it out; return a sentence.

    Raises:
        CommandError: No row has that name.
    """
    rows = rows_named(name)
    bypassed = saw.controller.bypassed
    (bypassed.update if on else bypassed.difference_update)(rows)
    said = _JUMPER[on](name=name, count=len(rows))
    subjects = {each.subject if isinstance(each, Reaction) else each.need.subject for each in rows}
    return sentences(said, _NOT_THE_PATH) if on and subjects & _OF_THE_PATH else said


def banner(saw: Traced) -> Message:
    """Return the warning for as long as anything is forced or jumpered; nothing when nothing is."""
    forced = [(_ON if value else _OFF)(tag=tag) for tag, value in sorted(saw.bus.forced.items())]
    what = (*forced, *_jumpered(saw.controller.bypassed))
    return _WARNING(what=what) if what else NOTHING


def _jumpered(bypassed: Set[InterlockRow]) -> Iterator[Message]:
    for number in NUMBERS:
        lock = BY_NUMBER[number]
        rows: tuple[InterlockRow, ...] = (*lock.permissives, *lock.reactions)
        over = [each.name for each in rows if each in bypassed]
        if len(over) == len(rows):
            yield _OVER(number=number)
        elif over:
            yield _OVER_PART(number=number, rows=", ".join(over))
