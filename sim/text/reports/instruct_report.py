"""`drycycle instruct`: gives an order to a running session, or lists what was ordered in it."""

import shlex
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

from sim.debrief import hints  # noqa: F401 - what a record has of hints are its rows
from sim.errors import CommandError, RecordError
from sim.records.acts import ON_FAULTS, ActKind
from sim.records.folder import home
from sim.records.hold import is_held
from sim.records.lasting import RESCUE
from sim.records.reading import SessionRecord, read_record
from sim.session.order_lines import give, key_of
from sim.session.orders import TAKES, order_from
from sim.text.tables import print_json, print_said
from sim.words.fields import authored, clock, name, number, one_of, part, parts
from sim.words.message import NOTHING, Message, from_plain, named, plain, row

LAST: Final = "last"

_ORDERED: Final = row(
    "instruct.ordered",
    "Ordered: {order}. The session takes it at its next frame or line.",
    order=name(),
)
_UNSEEN: Final = row(
    "instruct.ordered-unseen",
    "Ordered: {order}. The session takes it at its next frame or line; what comes of it is told in "
    "the debrief.",
    order=name(),
)
_STATE: Final = row(
    "instruct.state", "{record}: {state}.",
    record=name(), state=one_of("running", "broken off", "closed"),
)  # fmt: skip
_NO_ORDER: Final = row("instruct.none", "No order to list. Orders: {orders}.", orders=name())
_NOT_LISTED: Final = plain(
    "instruct.not-listed",
    "Orders on faults are listed after the close; before it only with the instructor's code, and "
    "not of an assessment that runs.",
)
_TAKEN: Final = row("instruct.taken", "{at} {order}", at=clock(tenths=True), order=name())
_TAKEN_WITH: Final = row(
    "instruct.taken-with", "{at} {order} {says}", at=clock(tenths=True), order=name(), says=part()
)
_TEXT: Final = row("instruct.text", "{text}", text=authored())
_FACTOR: Final = row("instruct.factor", "{factor}", factor=number(None))
_SEALED: Final = plain("instruct.sealed", "a sealed fault")
_SEALED_WHY: Final = plain("instruct.sealed-why", "why is sealed until the close")
_WAS_REFUSED: Final = row(
    "instruct.refused", "{at} refused: {order}: {why}",
    at=clock(tenths=True), order=name(), why=part(),
)  # fmt: skip
_NO_RECORD: Final = plain("instruct.no-record", "there is no record in the folder")
_SEVERAL_RUN: Final = row(
    "instruct.several-run", "several sessions run: {records}", records=parts(", ", " and ")
)
_NAME_ONE: Final = plain("instruct.several-run.name", "name the record of one of them")
_NAME_A_RECORD: Final = plain("instruct.no-record.write", "name a record's file")


def instruct(record: str, words: list[str], code: Callable[[], str], *, as_json: bool) -> int:
    """Give the order that words say, or without words list the instructor's acts; return 0.

    Args:
        record: A record's file, or `last` for that of the session that runs, else the newest one.
        words: The order.
        code: Asks for the instructor's code, where the session has one.
        as_json: Print JSON.

    Raises:
        CommandError: There is no such order, it would do nothing, or the session does not run.
        RecordError: There is no such record.
    """
    path = last_record() if record == LAST else Path(record)
    if words:
        order = order_from(words)
        said = _ORDERED if give(path, order, code) else _UNSEEN
        if as_json:
            print_json({"record": str(path), "order": order.order})
        else:
            print_said(said(order=order.order), whole=True)
        return 0
    kept = read_record(path, allow_cut=True)
    running = kept.closing is None and is_held(path)
    listed = _faults_listed(kept, running, code)
    acts = [each for each in kept.instructor_lines if listed or not _on_fault(each)]
    state = "running" if running else "broken off" if kept.closing is None else "closed"
    if as_json:
        print_json({
            "record": str(path), "running": running, "state": state, "faults_listed": listed, "acts": acts,
        })  # fmt: skip
        return 0
    print_said(_STATE(record=path.name, state=state), *map(_told, acts), whole=True)
    if not acts:
        print_said(_NO_ORDER(orders=", ".join(TAKES)))
    if not listed:
        print_said(_NOT_LISTED, whole=True)
    return 0


def _faults_listed(record: SessionRecord, running: bool, code: Callable[[], str]) -> bool:
    """Return whether whoever asks may know that there were orders on faults, and which were refused."""
    if record.closing is not None:
        return True
    if running and record.opening.mode == "assessment":
        return False
    try:
        return key_of(record, code) is not None
    except CommandError:  # another code, or nobody who can be asked
        return False


def _on_fault(line: Mapping[str, Any]) -> bool:
    refused = line["act"] == ActKind.ORDER_REFUSED
    return (line["order"] if refused else str(line["act"]).replace("_", "-")) in ON_FAULTS


def last_record() -> Path:
    """Return the record of the session that runs, where one does; else the newest of the record folder.

    Raises:
        RecordError: There is none, or several sessions run.
    """
    folder = home() / "records"
    try:
        written = {
            path: path.stat().st_mtime
            for path in sorted(folder.glob("*.jsonl"))
            if not path.name.endswith(".orders.jsonl") and path.is_file()
        }
    except OSError:
        written = {}  # no folder that can be read has no record
    if not written:
        raise RecordError(_NO_RECORD, str(folder), _NAME_A_RECORD)
    running = _one_a_session([path for path in written if is_held(path)])
    if len(running) > 1:
        names = tuple(named(_typed(path)) for path in running)
        raise RecordError(_SEVERAL_RUN(records=names), str(folder), _NAME_ONE)
    return running[0] if running else max(written, key=written.__getitem__)


def _one_a_session(held: list[Path]) -> list[Path]:
    """Return the records that go on, of a session with several files the one that has most of it."""
    longest: dict[str, SessionRecord] = {}
    for path in held:
        try:
            record = read_record(path, allow_cut=True)
        except RecordError:
            continue  # none that could go on
        so_far = longest.get(record.opening.seal)
        if record.closing is None and (so_far is None or _reach(so_far) < _reach(record)):
            longest[record.opening.seal] = record
    return [Path(record.name) for record in longest.values()]


def _reach(record: SessionRecord) -> tuple[int, bool]:
    return record.count, RESCUE in record.name  # what was left has no more lines than the rescue


def _typed(path: Path) -> str:
    """Return a path as it is typed at a terminal."""
    return f'"{path}"' if sys.platform == "win32" else shlex.quote(str(path))


def _told(act: dict[str, Any]) -> Message:
    """Return an act of an instructor; the names of faults are sealed until the close."""
    if act["act"] == ActKind.ORDER_REFUSED:
        return _refused(act)
    order = str(act["act"]).replace("_", "-")
    if order == "freeze":
        order = "freeze" if act["on"] else "go"
    at_us, says = int(act["at_us"]), _says(act)
    return _TAKEN_WITH(at=at_us, order=order, says=says) if says else _TAKEN(at=at_us, order=order)


def _refused(act: dict[str, Any]) -> Message:
    """Return an order that was refused, as its line has it; why may be sealed until the close."""
    why = from_plain(act["why"]) if "why" in act else _SEALED_WHY
    return _WAS_REFUSED(at=int(act["at_us"]), order=act["order"] or "-", why=why)


def _says(act: dict[str, Any]) -> Message:
    if "text" in act:
        said = act["text"]
        return _TEXT(text=said) if isinstance(said, str) else from_plain(said)
    if "factor" in act:
        return _FACTOR(factor=act["factor"])
    return _SEALED if "seal" in act else NOTHING
