"""Orders from an instructor to a running session, by way of a file beside its record.

    {"order":"put-in","salt":"9f..","fault":"41.."}
    {"order":"freeze"}
    {"order":"pace","factor":2.0}
    {"order":"note","text":"Look again at the counter."}

`drycycle instruct` adds lines; the trainee's side looks for new ones between two acts or two frames
and carries them out as the session's own acts, so the record has them and the file is not needed
again. A line that is no order is passed over there. A fault is
named by a salted digest, so that a glance at the file tells nothing; it hides nothing from somebody
who tries every name of the catalogue.

Never here: what an order does (see `instructor`).
"""

import hashlib
import json
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.faults.fault import Fault
from sim.records.hold import is_held
from sim.records.reading import SessionRecord, read_record
from sim.records.spool import Tail, add_line
from sim.scenario.nearest import nearest
from sim.session.instructor import (
    CHOOSE_ANOTHER,
    FASTEST,
    MOST_TEXT,
    NO_CHANGE,
    NO_PACE,
    PACES,
    SLOWEST,
    told_second,
)
from sim.session.known import fault_called
from sim.session.playback.replay import replay_of
from sim.session.session import Session
from sim.words.fields import name, number, part
from sim.words.message import Message, plain, row

_FAULT, _TEXT, _FACTOR, _ALONE = "fault", "text", "factor", ""
TAKES: Final = {
    "put-in": _FAULT,
    "take-out": _FAULT,
    "second": _TEXT,
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


_NO_ORDER: Final = row("orders.no-order", "there is no order {order}", order=name())
_MEANT_BY: Final = row("orders.meant", "the order for that is {order}", order=name())
_NEEDS: Final = {
    _FAULT: row("orders.needs-fault", "{order} needs a fault", order=name()),
    _TEXT: row("orders.needs-text", "{order} needs a text", order=name()),
    _FACTOR: row("orders.needs-factor", "{order} needs a factor", order=name()),
    _ALONE: row("orders.stands-alone", "{order} stands alone", order=name()),
}
_WRITE: Final = row("orders.write", "write {usage}", usage=name())
_TOO_LONG: Final = row("orders.text-too-long", "the text has {length} characters", length=number())
_AT_MOST: Final = row("orders.at-most", "{most} at most", most=number())
_CLOSED: Final = plain("orders.closed", "the session is closed")
_NOT_RUNNING: Final = plain(
    "orders.not-running",
    "the session is not running; its program ended without closing the record",
)
_ONE_THAT_RUNS: Final = plain("orders.one-that-runs", "an order needs one that runs")
_NOT_HIDDEN: Final = row(
    "orders.not-hidden",
    "it is not hidden in this machine, so nothing would happen: {title}", title=part(),
)  # fmt: skip
_TAKE_OUT: Final = plain(
    "orders.not-hidden.to-do", "take out what the scenario hides or what was put in"
)
_HIDDEN: Final = row(
    "orders.hidden", "it is hidden in this machine already, so nothing would happen: {title}",
    title=part(),
)  # fmt: skip
_ANOTHER: Final = plain("orders.hidden.to-do", "put in another")
_WRECKED: Final = plain("orders.wrecked", "the run is over, the machine is wrecked")
_BEGIN_ANEW: Final = plain("orders.wrecked.to-do", "begin a new one")
_NOT_JSON: Final = plain("orders.line.not-json", "this line is not JSON")
_NOT_ORDER: Final = plain("orders.line.no-order", "this line is no order")
_NO_SUCH: Final = plain("orders.line.unknown", "there is no such order")
_KEYS: Final = row(
    "orders.line.keys", "{order} is written with {keys} and nothing else",
    order=name(), keys=name(),
)  # fmt: skip
_NO_DIGEST: Final = plain("orders.line.digest", "the digest is that of no fault")
_NO_NUMBER: Final = plain("orders.line.factor", "the factor is no number")
_NO_TEXT: Final = plain("orders.line.text", "the text is no text")
_AT_LINE: Final = row("orders.refused.line", "{place}: {what}", place=name(), what=part())
_AT_ORDER: Final = row("orders.refused.order", "{order}: {what}", order=name(), what=part())


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
    "second": lambda s, o: s.instructor.second(o.text),
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
        advice = _MEANT_BY(order=meant) if meant else nearest(verb, TAKES)
        raise CommandError(_NO_ORDER(order=repr(verb)), "instruct", advice)
    needs = TAKES[verb]
    if (needs != _ALONE) != bool(rest):
        usage = f"{verb} {needs.upper()}"
        raise CommandError(_NEEDS[needs](order=verb), "instruct", _WRITE(usage=usage))
    if needs == _FAULT:
        return Order(verb, fault=fault_called(rest, verb).name)
    if needs == _TEXT:
        if len(rest) > MOST_TEXT:
            raise CommandError(_TOO_LONG(length=len(rest)), verb, _AT_MOST(most=MOST_TEXT))
        if verb == "second":
            told_second(rest)
        return Order(verb, text=rest)
    return Order(verb, factor=_pace(rest)) if needs == _FACTOR else Order(verb)


def _pace(text: str) -> float:
    try:
        factor = float(text)
    except ValueError:
        factor = 0.0
    if not SLOWEST <= factor <= FASTEST:
        raise CommandError(NO_PACE(factor=text), "pace", PACES)
    return factor


def give(record: Path, order: Order) -> None:
    """Add an order to the file of a running session's record.

    Raises:
        RecordError: There is no such record, or the order cannot be written.
        CommandError: The session does not run any more, or the order would do nothing.
    """
    kept = read_record(record, allow_cut=True)
    if kept.closing is not None:
        raise CommandError(_CLOSED, str(record), _ONE_THAT_RUNS)
    if not is_held(record):
        raise CommandError(_NOT_RUNNING, str(record), _ONE_THAT_RUNS)
    if TAKES[order.order] == _FAULT:
        _check_fault(record, kept, order)
    line: dict[str, object] = {"order": order.order}
    needs = TAKES[order.order]
    if needs == _FAULT:
        salt = secrets.token_hex(8)
        line |= {"salt": salt, "fault": _digest(salt, order.fault)}
    elif needs:
        line[needs] = getattr(order, needs)
    add_line(orders_path(record), json.dumps(line, separators=(",", ":")))


def _check_fault(record: Path, kept: SessionRecord, order: Order) -> None:
    """Refuse to put in what is hidden already, and to take out what is not.

    Hidden is what the scenario hides and what was ordered in, less what was ordered out: the
    record itself tells no names.
    """
    played = replay_of(kept).session
    hidden = {fault.name for fault in played.scenario.faults}
    for said in Orders(record).due():
        if TAKES[said.order] == _FAULT:
            (hidden.add if said.order == "put-in" else hidden.discard)(said.fault)
    title = CATALOGUE[order.fault].title
    if order.order == "take-out" and order.fault not in hidden:
        raise CommandError(_NOT_HIDDEN(title=title), "take-out", _TAKE_OUT)
    if order.order == "put-in" and order.fault in hidden:
        raise CommandError(_HIDDEN(title=title), "put-in", _ANOTHER)
    if order.order == "put-in":
        _check_takes(played, CATALOGUE[order.fault])


def _check_takes(session: Session, fault: Fault) -> None:
    """Refuse to put in what the machine, as far as its record goes, would not take."""
    if session.saw.plant.site.wrecked:
        raise CommandError(_WRECKED, "put-in", _BEGIN_ANEW)
    if not session.faults.would_change(fault):
        raise CommandError(NO_CHANGE(title=fault.title), "put-in", CHOOSE_ANOTHER)


def _digest(salt: str, fault: str) -> str:
    return hashlib.sha256(f"{salt}/{fault}".encode()).hexdigest()


# The trainee's side -----------------------------------------------------------------------


class Orders:
    """The orders that come for one session.

    Args:
        record: Path of the session's record.
    """

    def __init__(self, record: Path) -> None:
        self.refused: list[Message] = []  # what was passed over, a sentence each
        self._tail = Tail(orders_path(record))

    def due(self) -> list[Order]:
        """Return the orders that have come since the last look."""
        orders = []
        lines = self._tail.lines()
        for count, line in enumerate(lines, start=self._tail.number - len(lines) + 1):
            try:
                orders.append(_read(line))
            except CommandError as fault:
                place = f"{self._tail.path.name}:{count}"
                self.refused.append(_AT_LINE(place=place, what=fault.what))
        return orders

    def carry_out(self, session: Session) -> bool:
        """Carry out what has come; return whether anything was done."""
        done = False
        for order in self.due():
            try:
                obey(session, order)
                done = True
            except CommandError as fault:
                self.refused.append(_AT_ORDER(order=order.order, what=fault.what))
        return done


def _read(line: bytes) -> Order:
    """Return the order of a line.

    Raises:
        CommandError: It is none.
    """
    try:
        said: Any = json.loads(line)
    except (ValueError, RecursionError):
        raise CommandError(_NOT_JSON) from None
    if not isinstance(said, dict):
        raise CommandError(_NOT_ORDER)
    verb = said.get("order")
    if not isinstance(verb, str) or verb not in TAKES:
        raise CommandError(_NO_SUCH)
    needs = TAKES[verb]
    keys = {"order", needs} - {_ALONE} | ({"salt"} if needs == _FAULT else set())
    if set(said) != keys:
        raise CommandError(_KEYS(order=verb, keys=", ".join(sorted(keys))))
    if needs == _FAULT:
        salt = str(said["salt"])
        meant = next((each for each in CATALOGUE if _digest(salt, each) == said["fault"]), "")
        if not meant:
            raise CommandError(_NO_DIGEST)
        return Order(verb, fault=meant)
    if needs == _FACTOR and not isinstance(said[needs], int | float):
        raise CommandError(_NO_NUMBER)
    if needs == _TEXT and not (isinstance(said[needs], str) and said[needs].strip()):
        raise CommandError(_NO_TEXT)
    return order_from([verb, str(said[needs])] if needs else [verb])
