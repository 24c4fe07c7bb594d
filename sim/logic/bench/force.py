"""Force and jumper: hold a wire at one value, take a row out of the interlock table.

What is in stands in a banner for as long as it is in; nobody may forget it. Forcing changes what is
seen at the far end of a wire, not the machine; a jumper makes the controller overlook a row.

Never here: who may do it (see `drill`).
"""

from collections.abc import Iterator
from typing import Final

from sim.control.interlocks import INTERLOCKS, PERMISSIVES, REACTIONS, Permissive, Reaction
from sim.errors import CommandError
from sim.logic.bench.trace import Traced
from sim.saw import Saw
from sim.signals import BY_TAG

Row = Permissive | Reaction
ROWS: Final[tuple[Row, ...]] = (*PERMISSIVES, *REACTIONS)


NUMBERS: Final = tuple(lock.number for lock in INTERLOCKS if lock.wired)
BY_NAME: Final[dict[str, Row]] = {row.name: row for row in ROWS}


def rows_named(name: str) -> tuple[Row, ...]:
    """Return the rows that a jumper takes out: a number (I4), `action subject`, or one row's name.

    Raises:
        CommandError: No row has that name.
    """
    if name in BY_NAME:
        return (BY_NAME[name],)
    action, _, subject = name.partition(" ")
    found = tuple(row for row in ROWS if row.number == name) or tuple(
        row for row in PERMISSIVES if row.action == action and row.need.subject == subject
    )
    if not found:
        raise CommandError(
            f"no interlock is called {name!r}", "jumper",
            f"give one of {', '.join(NUMBERS)}, or an action and a device like head.lower B33",
        )  # fmt: skip
    return found


def force(saw: Saw, tag: str, value: bool | None) -> str:
    """Hold a wire at a value, or let it go with None; return a sentence.

    Raises:
        CommandError: There is no such wire.
    """
    if tag not in BY_TAG:
        raise CommandError(f"there is no signal called {tag!r}", "force", "give a tag like B11")
    saw.bus.force(tag, value)
    saw.bus.settle()
    if value is None:
        return f"{tag} is no longer forced."
    return f"{tag} is forced {_word(value)}: {_says(tag, value)}."


def jumper(saw: Saw, name: str, *, on: bool) -> str:
    """Put a jumper over rows of the interlock table, or take it out; return a sentence.

    Raises:
        CommandError: No row has that name.
    """
    rows = rows_named(name)
    bypassed = saw.controller.bypassed
    (bypassed.update if on else bypassed.difference_update)(rows)
    count = f"{len(rows)} row{'s' if len(rows) > 1 else ''} of the interlock table"
    return f"The jumper over {name} is {'in' if on else 'out'}: {count}."


def banner(saw: Traced) -> str:
    """Return the warning for as long as anything is forced or jumpered; empty when nothing is."""
    if not saw.bus.forced and not saw.controller.bypassed:
        return ""
    forced = [f"{tag} is forced {_word(value)}" for tag, value in sorted(saw.bus.forced.items())]
    numbers = [f"a jumper is over {text}" for text in _jumpered(saw)]
    return f"WARNING: {'; '.join([*forced, *numbers])}. Take it out before anybody relies on it."


def _jumpered(saw: Traced) -> Iterator[str]:
    bypassed = saw.controller.bypassed
    for number in NUMBERS:
        rows = [row for row in ROWS if row.number == number]
        over = [row for row in rows if row in bypassed]
        if len(over) == len(rows):
            yield number
        elif over:
            yield f"{number} in part ({', '.join(row.name for row in over)})"


def _word(value: bool) -> str:
    return "on" if value else "off"


def _says(tag: str, value: bool) -> str:
    row = BY_TAG[tag]
    told = row.text if value else f"not that {row.text}"
    return f"the {'controller' if row.direction == 'input' else 'machine'} sees {told}"
