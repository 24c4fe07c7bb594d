"""Orders on their way to a running session: lines of a file beside its record.

    {"order":"freeze"}
    {"order":"pace","factor":2.0}
    {"fault":"41..","mac":"9f..","number":3,"order":"put-in"}

`drycycle instruct` adds lines; the trainee's side looks for new ones between two acts or two frames
and carries them out as the session's own acts, so the record has them and the file is not needed
again. What is not taken is on the record too.

Where the session was begun with an instructor's code, each line is numbered and has an HMAC-SHA256
over all that it says, and a fault stands in it as an HMAC over number and name: without the code no
line can be made, none given twice, and no name of the catalogue tried. `order_key` has the key.

Never here: what an order does (see `orders`).
"""

import hmac
import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from sim.errors import CommandError
from sim.faults.catalogue import EVERY
from sim.faults.fault import Fault
from sim.records.hold import is_held
from sim.records.kinds import written
from sim.records.lasting import RESCUE
from sim.records.reading import SessionRecord, read_record
from sim.records.spool import Tail, add_line
from sim.session.instructor import CHOOSE_ANOTHER, NO_CHANGE
from sim.session.order_key import OrderKey, key_for
from sim.session.orders import (
    ALONE,
    FACTOR,
    FAULT,
    KEYS,
    NO_FAULT,
    NO_MORE,
    NO_NUMBER,
    NO_SUCH,
    NO_TEXT,
    NOT_JSON,
    NOT_ORDER,
    TAKES,
    TEXT,
    TWICE,
    UNSIGNED,
    Order,
    check_may,
    is_unseen,
    obey,
    order_from,
)
from sim.session.playback.replay import replay_of
from sim.session.session import Session
from sim.words.fields import name, part
from sim.words.message import Message, plain, row

_MOST_REFUSED: Final = 100  # lines that nobody vouched for which are written down one by one

_CLOSED: Final = plain("orders.closed", "the session is closed")
_NOT_RUNNING: Final = plain(
    "orders.not-running",
    "the session is not running; its program ended without closing the record",
)
_ONE_THAT_RUNS: Final = plain("orders.one-that-runs", "an order needs one that runs")
_NOT_ITS_CODE: Final = plain(
    "orders.not-its-code", "that is not the instructor's code of this session"
)
_TYPE_IT: Final = plain("orders.not-its-code.to-do", "type the one that the session was begun with")
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
_AT_LINE: Final = row("orders.refused.line", "{place}: {what}", place=name(), what=part())
_AT_ORDER: Final = row("orders.refused.order", "{order}: {what}", order=name(), what=part())


def orders_path(record: Path) -> Path:
    """Return the file of orders that belongs to a record."""
    # Where a record is rescued to, its orders still come to the file beside the first place.
    asked = record.stem.partition(RESCUE)[0]
    return record.with_name(f"{asked}.orders{record.suffix}")


# The instructor's side --------------------------------------------------------------------


def give(record: Path, order: Order, code: Callable[[], str] = str) -> bool:
    """Add an order to the file of a running session's record; return whether it was looked at first.

    An order on a fault in an assessment is not: whatever is hidden the answer is the same, for the
    trainee may have begun it with a code of his own. What comes of it stands in record and debrief.

    Args:
        record: The record's file.
        order: What is wanted.
        code: Asks for the instructor's code, where the session has one.

    Raises:
        RecordError: There is no such record, or the order cannot be written.
        CommandError: The session does not run any more, the order wants a code or another one, or it
            would do nothing.
    """
    kept = read_record(record, allow_cut=True)
    if kept.closing is not None:
        raise CommandError(_CLOSED, str(record), _ONE_THAT_RUNS)
    if not is_held(record):
        raise CommandError(_NOT_RUNNING, str(record), _ONE_THAT_RUNS)
    # Nothing that follows from what is hidden is looked at before whoever asks is known.
    key = key_of(kept, code)
    if key is None:
        check_may(kept.opening.mode, order.order)
        add_line(orders_path(record), _written(_said(order)))
        return True
    given = [*_given(record, key)]
    unseen = is_unseen(kept.opening.mode, order.order)
    if TAKES[order.order] == FAULT and not unseen:
        _check_fault(kept, [each.order for each in given], order)
    number = max((each.number for each in given), default=0) + 1
    add_line(orders_path(record), _signed(order, number, key))
    return not unseen


def key_of(record: SessionRecord, code: Callable[[], str]) -> OrderKey | None:
    """Return the key of a session's orders; None where it was begun without a code.

    Args:
        record: Of the session.
        code: Asks for the code.

    Raises:
        CommandError: What was typed is not the code.
    """
    opening = record.opening
    if not opening.orders_check:
        return None
    key = key_for(code(), opening.orders_salt, opening.orders_check)
    if key is None:
        raise CommandError(_NOT_ITS_CODE, record.name, _TYPE_IT)
    return key


def _check_fault(kept: SessionRecord, given: list[Order], order: Order) -> None:
    """Refuse to put in what is hidden already, and to take out what is not.

    Hidden is what the scenario hides and what was ordered in, less what was ordered out: the
    record itself tells no names.
    """
    played = replay_of(kept).session
    hidden = {fault.name for fault in played.scenario.faults}
    for said in given:
        if TAKES[said.order] == FAULT:
            (hidden.add if said.order == "put-in" else hidden.discard)(said.fault)
    title = EVERY[order.fault].title
    if order.order == "take-out" and order.fault not in hidden:
        raise CommandError(_NOT_HIDDEN(title=title), "take-out", _TAKE_OUT)
    if order.order == "put-in" and order.fault in hidden:
        raise CommandError(_HIDDEN(title=title), "put-in", _ANOTHER)
    if order.order == "put-in":
        _check_takes(played, EVERY[order.fault])


def _check_takes(session: Session, fault: Fault) -> None:
    """Refuse to put in what the machine, as far as its record goes, would not take."""
    if session.saw.plant.site.wrecked:
        raise CommandError(_WRECKED, "put-in", _BEGIN_ANEW)
    if not session.faults.would_change(fault):
        raise CommandError(NO_CHANGE(title=fault.title), "put-in", CHOOSE_ANOTHER)


# The lines --------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Given:
    """An order as it came."""

    order: Order
    number: int = 0
    mac: str = ""


def _written(said: Mapping[str, object]) -> str:
    return json.dumps(said, sort_keys=True, separators=(",", ":"))


def _said(order: Order) -> dict[str, object]:
    needs = TAKES[order.order]
    return {"order": order.order} | ({needs: getattr(order, needs)} if needs else {})


def _signed(order: Order, number: int, key: OrderKey) -> str:
    said = _said(order) | {"number": number}
    if order.fault:
        said[FAULT] = _fault_under(key, number, order.fault)
    return _written(said | {"mac": key.over("order", _written(said).encode())})


def _fault_under(key: OrderKey, number: int, fault: str) -> str:
    return key.over("fault", f"{number} {fault}".encode())


def _given(record: Path, key: OrderKey) -> Iterator[_Given]:
    """Yield the orders that were given with the code, oldest first."""
    tail = Tail(orders_path(record))
    while lines := tail.lines():
        for line in lines:
            try:
                yield _read(line, key)
            except CommandError:
                continue


def _object(line: bytes) -> dict[str, Any]:
    try:
        said: Any = json.loads(line)
    except (ValueError, RecursionError):
        raise CommandError(NOT_JSON) from None
    if not isinstance(said, dict):
        raise CommandError(NOT_ORDER)
    return said


def _verb(line: bytes) -> str:
    """Return the order that a line asks for; empty where it is none."""
    try:
        verb = _object(line).get("order")
    except CommandError:
        return ""
    return verb if isinstance(verb, str) and verb in TAKES else ""


def _read(line: bytes, key: OrderKey | None) -> _Given:
    """Return the order of a line.

    Raises:
        CommandError: It is none, or it is not under the key.
    """
    said = _object(line)
    verb = said.get("order")
    if not isinstance(verb, str) or verb not in TAKES:
        raise CommandError(NO_SUCH)
    needs = TAKES[verb]
    keys = {"order", needs} - {ALONE} | ({"number", "mac"} if key is not None else set())
    if key is not None and not _vouched(said, key):
        raise CommandError(UNSIGNED)
    if set(said) != keys:
        raise CommandError(KEYS(order=verb, keys=", ".join(sorted(keys))))
    number, mac = (said["number"], said["mac"]) if key is not None else (0, "")
    if needs == FAULT:
        return _Given(Order(verb, fault=_meant(said[FAULT], number, key)), number, mac)
    if needs == FACTOR and not isinstance(said[needs], int | float):
        raise CommandError(NO_NUMBER)
    if needs == TEXT and not (isinstance(said[needs], str) and said[needs].strip()):
        raise CommandError(NO_TEXT)
    words = [verb, written(str(said[needs]))] if needs else [verb]
    return _Given(order_from(words), number, mac)


def _vouched(said: dict[str, Any], key: OrderKey) -> bool:
    """Return whether a line was written by somebody who has the code."""
    mac = said.get("mac")
    if not isinstance(mac, str) or not mac.isascii():
        return False
    try:
        over = _written({each: value for each, value in said.items() if each != "mac"}).encode()
    except ValueError:  # half of a character
        return False
    return hmac.compare_digest(key.over("order", over), mac)


def _meant(told: object, number: int, key: OrderKey | None) -> str:
    """Return the fault that a line tells; without a key none can be told.

    Raises:
        CommandError: It is none of the catalogue.
    """
    if key is None:
        return ""
    for each in EVERY:
        if _fault_under(key, number, each) == told:
            return each
    raise CommandError(NO_FAULT)


# The trainee's side -----------------------------------------------------------------------


class Orders:
    """The orders that come for one session.

    Args:
        record: Path of the session's record.
    """

    def __init__(self, record: Path) -> None:
        self.refused: list[Message] = []  # what was not taken, a sentence each
        self._tail = Tail(orders_path(record))
        self._last = 0  # number of the last order that was taken in
        self._seen: set[str] = set()  # the HMACs of all
        self._strays = 0  # lines that nobody vouched for

    def carry_out(self, session: Session) -> bool:
        """Carry out what has come since the last look; return whether anything was done.

        What is not taken is written down: in the record, for after the close.
        """
        if session.closed:
            return False
        done = False
        lines = self._tail.lines()
        for count, line in enumerate(lines, start=self._tail.number - len(lines) + 1):
            try:
                order = self._taken_in(line, session)
            except CommandError as fault:
                place = f"{self._tail.path.name}:{count}"
                self.refused.append(_AT_LINE(place=place, what=fault.what))
                self._stray(session, _verb(line), fault.what)
                continue
            try:
                obey(session, order)
                done = True
            except CommandError as fault:
                self.refused.append(_AT_ORDER(order=order.order, what=fault.what))
                session.instructor.refused(order.order, fault.what)
        return done

    def _taken_in(self, line: bytes, session: Session) -> Order:
        """Return the order of a line that the session may take.

        Raises:
            CommandError: It is none, nobody vouches for it, or it was given before.
        """
        key = session.order_key
        given = _read(line, key)
        if key is None:
            check_may(session.scenario.mode, given.order.order)
        elif given.number < self._last or given.mac in self._seen:
            raise CommandError(TWICE)
        self._last = given.number
        self._seen.add(given.mac)
        return given.order

    def _stray(self, session: Session, order: str, why: Message) -> None:
        """Write down a line that nobody vouched for; of very many only that there are more."""
        self._strays += 1
        if self._strays <= _MOST_REFUSED:
            session.instructor.refused(order, why)
        elif self._strays == _MOST_REFUSED + 1:
            session.instructor.refused("", NO_MORE)
