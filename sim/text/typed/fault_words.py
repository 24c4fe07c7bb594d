"""Faults by what is said of them, in English or in the reader's language.

Never here: how a name is shortened (see `text.names`).
"""

from collections.abc import Sequence

from sim.errors import CommandError
from sim.faults.catalogue import EVERY
from sim.faults.fault import Fault
from sim.session.morning import CLASSES
from sim.text.kinds import FAMILY
from sim.text.names import pick
from sim.text.typed.reading import TypedAct, Word, needs_more
from sim.words.speech import tell


def speaking_of(text: str) -> tuple[Fault, ...]:
    """Return the faults with a text in their name, title, family or effect."""
    return tuple(fault for fault in EVERY.values() if _speaks_of(fault, text.lower()))


def _speaks_of(fault: Fault, text: str) -> bool:
    said = (fault.title, FAMILY(family=fault.family), fault.changes)
    told = [fault.name, *(say(each) for say in (str, tell) for each in said)]
    return text in " ".join(told).lower()


def one_fault(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read a fault by its name, else by words of its title, else by any that only it is told with.

    Raises:
        CommandError: None fits, or several do.
    """
    needs_more(word, rest)
    given = " ".join(rest)
    try:
        return TypedAct(word.name, (pick(given, EVERY, "fault", word.name),))
    except CommandError:
        told = speaking_of(given)
        titled = [
            f for f in told if any(given.lower() in say(f.title).lower() for say in (str, tell))
        ]
        for found in (titled, told):
            if len(found) == 1:
                return TypedAct(word.name, (found[0].name,))
        raise


def a_finding(word: Word, rest: Sequence[str]) -> TypedAct:
    """Read a fault, and after `as` what it calls for.

    Raises:
        CommandError: One of them does not fit.
    """
    given = [each.lower() for each in rest]
    if "as" not in given[1:-1]:
        needs_more(word, ())
    at = len(given) - 1 - given[::-1].index("as")
    calls_for = pick(" ".join(rest[at + 1 :]), CLASSES, "value", word.name)
    return TypedAct(word.name, (*one_fault(word, rest[:at]).names, calls_for))
