"""Orders from an instructor to a running session, by way of a file beside its record.

    {"order":"put-in","salt":"9f..","fault":"41.."}
    {"order":"freeze"}
    {"order":"pace","factor":2.0}
    {"order":"note","text":"Look again at the counter."}

`drycycle instruct` adds lines; the trainee's side looks for new ones between two acts or two frames
and carries them out as the session's own acts, so the record has them and the file is not needed
again. A line that is no order is passed over there. A fault goes by a salted digest, so that a
glance at the file tells nothing; whoever tries every name of the catalogue finds it all the same.

Never here: what an order does (see `instructor`).
"""

import hashlib
import json
import secrets
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.records.chain import read_chain
from sim.records.hold import is_held
from sim.records.spool import Tail, add_line
from sim.scenario.nearest import nearest
from sim.session.instructor import FASTEST, MOST_TEXT, SLOWEST
from sim.session.opening import read
from sim.session.replay import replay, scenario_of
from sim.session.session import Session
from sim.words.message import Message

_FAULT, _TEXT, _FACTOR, _ALONE = "fault", "text", "factor", ""
TAKES: Final = {
    "put-in": _FAULT,
    "take-out": _FAULT,
    "freeze": _ALONE,
    "go": _ALONE,
    "pace": _FACTOR,
    "note": _TEXT,
    "mark": _TEXT,
}
"""The orders, and what each needs."""
_MEANT: Final = {
    "unfreeze": "go",
    "thaw": "go",
    "resume": "go",
    "continue": "go",
    "release": "go",
    "hold": "freeze",
    "stop": "freeze",
    "pause": "freeze",
    "insert": "put-in",
    "add": "put-in",
    "remove": "take-out",
    "speed": "pace",
    "say": "note",
    "tell": "note",
}


@dataclass(frozen=True, slots=True)
class Order:
    """One thing an instructor wants done."""

    order: str  # a key of TAKES
    fault: str = ""
    factor: float = 1.0
    text: str = ""


_DOES: Final[Mapping[str, Callable[[Session, Order], Message]]] = {
    "put-in": lambda s, o: s.instructor.put_in(o.fault),
    "take-out": lambda s, o: s.instructor.take_out(o.fault),
    "freeze": lambda s, _: s.instructor.freeze(True),
    "go": lambda s, _: s.instructor.freeze(False),
    "pace": lambda s, o: s.instructor.pace(o.factor),
    "note": lambda s, o: s.instructor.note(o.text),
    "mark": lambda s, o: s.instructor.mark(o.text),
}


def obey(session: Session, order: Order) -> Message:
    """Carry an order out; return what came of it, for the instructor's eyes.

    Raises:
        CommandError: The session does not take it.
    """
    return _DOES[order.order](session, order)


def orders_path(record: Path) -> Path:
    """Return the file of orders that belongs to a record."""
    return record.with_suffix(f".orders{record.suffix}")


# The instructor's side --------------------------------------------------------------------


def order_from(words: list[str]) -> Order:
    """Return the order that words say: `put-in air-low`, `pace 2`, `note Look again`.

    Raises:
        CommandError: They say none.
    """
    verb, rest = (words[0] if words else ""), " ".join(" ".join(words[1:]).split())
    if verb not in TAKES:
        meant = _MEANT.get(verb.lower())
        advice = f"the order for that is {meant}" if meant else nearest(verb, TAKES)
        raise CommandError(f"there is no order {verb!r}", "instruct", advice)
    needs = TAKES[verb]
    if (needs != _ALONE) != bool(rest):
        what = f"needs a {needs}" if needs else "stands alone"
        raise CommandError(f"{verb} {what}", "instruct", f"write {' '.join((verb, needs.upper()))}")
    if needs == _FAULT:
        if rest not in CATALOGUE:
            raise CommandError(f"there is no fault called {rest!r}", verb, nearest(rest, CATALOGUE))
        return Order(verb, fault=rest)
    if needs == _TEXT:
        if len(rest) > MOST_TEXT:
            raise CommandError(f"the text has {len(rest)} characters", verb, f"{MOST_TEXT} at most")
        return Order(verb, text=rest)
    return Order(verb, factor=_pace(rest)) if needs == _FACTOR else Order(verb)


def _pace(text: str) -> float:
    try:
        factor = float(text)
    except ValueError:
        factor = 0.0
    if not SLOWEST <= factor <= FASTEST:
        raise CommandError(f"{text} is no pace", "pace", f"give {SLOWEST:g} to {FASTEST:g}")
    return factor


def give(record: Path, order: Order) -> None:
    """Add an order to the file of a running session's record.

    Raises:
        RecordError: There is no such record, or the order cannot be written.
        CommandError: The session does not run any more, or the order would do nothing.
    """
    lines = read_chain(record, allow_cut=True)
    if "cut" not in lines[-1]:
        raise CommandError("the session is closed", str(record), "an order needs one that runs")
    if not is_held(record):
        raise CommandError(
            "the session is not running; its program ended without closing the record",
            str(record), "an order needs one that runs",
        )  # fmt: skip
    if TAKES[order.order] == _FAULT:
        _check_fault(record, lines, order)
    line: dict[str, object] = {"order": order.order}
    needs = TAKES[order.order]
    if needs == _FAULT:
        salt = secrets.token_hex(8)
        line |= {"salt": salt, "fault": _digest(salt, order.fault)}
    elif needs:
        line[needs] = getattr(order, needs)
    add_line(orders_path(record), json.dumps(line, separators=(",", ":")))


def _check_fault(record: Path, lines: Sequence[Mapping[str, Any]], order: Order) -> None:
    """Refuse to put in what is hidden already, and to take out what is not.

    Hidden is what the scenario hides and what was ordered in, less what was ordered out: the
    record itself tells no names.
    """
    opening = next((line for line in lines if line.get("act") == "open"), {})
    hidden = {fault.name for fault in read(scenario_of(opening, record))[0].faults}
    for said in Orders(record).due():
        if TAKES[said.order] == _FAULT:
            (hidden.add if said.order == "put-in" else hidden.discard)(said.fault)
    title = CATALOGUE[order.fault].title
    if order.order == "take-out" and order.fault not in hidden:
        raise CommandError(
            f"it is not hidden in this machine, so nothing would happen: {title}", "take-out",
            "take out what the scenario hides or what was put in",
        )  # fmt: skip
    if order.order == "put-in" and order.fault in hidden:
        raise CommandError(
            f"it is hidden in this machine already, so nothing would happen: {title}", "put-in",
            "put in another",
        )  # fmt: skip
    if order.order == "put-in":
        _check_takes(record, CATALOGUE[order.fault])


def _check_takes(record: Path, fault: Fault) -> None:
    """Refuse to put in what the machine, as far as its record goes, would not take."""
    session = replay(record, allow_cut=True).session
    if session.saw.plant.site.wrecked:
        raise CommandError("the run is over, the machine is wrecked", "put-in", "begin a new one")
    if not session.faults.would_change(fault):
        raise CommandError(
            f"it changes nothing on this machine: {fault.title}", "put-in", "choose another"
        )


def _digest(salt: str, fault: str) -> str:
    return hashlib.sha256(f"{salt}/{fault}".encode()).hexdigest()


# The trainee's side -----------------------------------------------------------------------


class Orders:
    """The orders that come for one session.

    Args:
        record: Path of the session's record.
    """

    def __init__(self, record: Path) -> None:
        self.refused: list[str] = []  # what was passed over, a sentence each
        self._tail = Tail(orders_path(record))

    def due(self) -> list[Order]:
        """Return the orders that have come since the last look."""
        orders = []
        lines = self._tail.lines()
        for number, line in enumerate(lines, start=self._tail.number - len(lines) + 1):
            try:
                orders.append(_read(line))
            except CommandError as fault:
                self.refused.append(f"{self._tail.path.name}:{number}: {fault.what}")
        return orders

    def carry_out(self, session: Session) -> bool:
        """Carry out what has come; return whether anything was done."""
        done = False
        for order in self.due():
            try:
                obey(session, order)
                done = True
            except CommandError as fault:
                self.refused.append(f"{order.order}: {fault.what}")
        return done


def _read(line: bytes) -> Order:
    """Return the order of a line.

    Raises:
        CommandError: It is none.
    """
    try:
        said: Any = json.loads(line)
    except (ValueError, RecursionError):
        raise CommandError("this line is not JSON") from None
    if not isinstance(said, dict):
        raise CommandError("this line is no order")
    verb = said.get("order")
    if not isinstance(verb, str) or verb not in TAKES:
        raise CommandError("there is no such order")
    needs = TAKES[verb]
    keys = {"order", needs} - {_ALONE} | ({"salt"} if needs == _FAULT else set())
    if set(said) != keys:
        raise CommandError(f"{verb} is written with {', '.join(sorted(keys))} and nothing else")
    if needs == _FAULT:
        names = (name for name in CATALOGUE if _digest(str(said["salt"]), name) == said["fault"])
        name = next(names, "")
        if not name:
            raise CommandError("the digest is that of no fault")
        return Order(verb, fault=name)
    if needs == _FACTOR and not isinstance(said[needs], int | float):
        raise CommandError("the factor is no number")
    if needs == _TEXT and not (isinstance(said[needs], str) and said[needs].strip()):
        raise CommandError("the text is no text")
    return order_from([verb, str(said[needs])] if needs else [verb])
