"""`drycycle class`: the records of a folder, as a table, JSON, CSV or one page."""

from dataclasses import asdict, replace
from pathlib import Path
from typing import Final

from sim.debrief.class_report import (
    ANOTHER_CODE,
    CODES,
    OF_SHIFT,
    Class,
    SessionRow,
    class_of,
    csv_of,
    html_of,
)
from sim.errors import CommandError
from sim.records.output import check_place, write_output
from sim.text.tables import PrintedNumber, print_json, print_said, print_table
from sim.words.fields import count, name, part
from sim.words.message import NOTHING, Message, plain, row

_WRITES: Final = {".html": html_of, ".csv": csv_of}

_NO_ENDING: Final = plain("class.no-ending", "a class report cannot be a file without an ending")
_NO_SUCH_KIND: Final = row("class.no-kind", "a class report cannot be a {ending}", ending=name())
_ENDINGS: Final = plain("class.endings", "let it end in .html or .csv")
_NOT_WRITTEN: Final = row("class.not-written", "the report cannot be written: {why}", why=part())
_WRITTEN: Final = row(
    "class.written",
    "{file}: {sessions} of {people}.",
    file=name(), sessions=part(), people=part(),
)  # fmt: skip
_SO_MANY_SESSIONS: Final = row(
    "class.so-many-sessions", "{count} session", plural="{count} sessions", count=count()
)
_SO_MANY_PEOPLE: Final = row(
    "class.so-many-people", "{count} person", plural="{count} people", count=count()
)
_SESSIONS: Final = plain("class.sessions", "Sessions")
_PEOPLE: Final = plain("class.people", "People")
_NOBODY: Final = plain("class.nobody", "not named")
_ALL: Final = plain("class.all", "All")
_ORDERS: Final = row(
    "class.text.orders", "{taken}, refused {refused}", taken=count(), refused=count()
)
_MARKED: Final = row(
    "class.text.orders.marked", "MARKED: {taken}, refused {refused}", taken=count(), refused=count()
)
_MARKED_CODE: Final = row("class.text.code.marked", "MARKED: {code}", code=part())
_LEFT_OUT: Final = row("class.left-out", "Left out: {record}: {why}.", record=name(), why=part())


def class_and_report(
    folder: Path, *, output: Path | None, recount: bool, code: str, as_json: bool
) -> int:
    """Print or write the class report; return 0, or 1 when a record had to be left out.

    Raises:
        RecordError: There is no record.
        CommandError: The report is to go into another kind of file, or cannot be written.
    """
    if output is not None and output.suffix not in _WRITES:
        what = _NO_SUCH_KIND(ending=output.suffix) if output.suffix else _NO_ENDING
        raise CommandError(what, str(output), _ENDINGS)
    if output is not None:
        check_place(output)
    found = class_of(folder, recount=recount, code=code)
    if output is not None:
        write_output(output, _WRITES[output.suffix](found), refusal=_NOT_WRITTEN)
    if as_json:
        left_out = [[record, str(why)] for record, why in found.left_out]
        named = tuple(replace(each, scenario=each.on) for each in found.rows)
        print_json({**asdict(replace(found, rows=named, left_out=())), "left_out": left_out})
    elif output is None:
        _print(found)
    else:
        sessions = _SO_MANY_SESSIONS(count=found.total.sessions)
        people = _SO_MANY_PEOPLE(count=len(found.people))
        written = _WRITTEN(file=str(output), sessions=sessions, people=people)
        print_said(written, *_left_out(found), whole=True)
    return 1 if any(why != OF_SHIFT for _, why in found.left_out) else 0


def _print(found: Class) -> None:
    rows = [
        (r.who or _NOBODY, r.title, r.score, r.came_to, PrintedNumber(r.minutes, 1),
         r.critical, r.hints, PrintedNumber(r.exposed_s, 1), r.strikes, _code(r), _orders(r))
        for r in found.rows
    ]  # fmt: skip
    heads = (
        "who",
        "scenario",
        "score",
        "",
        "minutes",
        "critical",
        "hints",
        "exposed, s",
        "struck",
        "code",
        "orders",
    )
    print_table(_SESSIONS, heads, rows)
    totals = [
        (who, t.sessions, t.own, t.passed, PrintedNumber(t.mean_score, 1), PrintedNumber(t.minutes, 1), t.critical,
         t.hints, PrintedNumber(t.exposed_s, 1), t.strikes)
        for who, t in (*((t.who or _NOBODY, t) for t in found.people), (_ALL, found.total))
    ]  # fmt: skip
    of_people = (
        "who",
        "sessions",
        "on own files",
        "passed",
        "mean score",
        "minutes",
        "critical",
        "hints",
        "exposed, s",
        "struck",
    )
    print_table(_PEOPLE, of_people, totals)
    print_said(*_left_out(found), whole=True)


def _orders(row: SessionRow) -> Message:
    """Return how many orders an instructor gave; an assessment that has any is marked."""
    if not row.orders and not row.orders_refused:
        return NOTHING
    told = _MARKED if row.marked else _ORDERS
    return told(taken=row.orders, refused=row.orders_refused)


def _code(row: SessionRow) -> Message:
    """Return whether a session was begun with a code; an assessment with another one is marked."""
    told = CODES[row.code]
    return _MARKED_CODE(code=told) if row.marked and row.code == ANOTHER_CODE else told


def _left_out(found: Class) -> list[Message]:
    """Return which records count for nothing, and why."""
    return [_LEFT_OUT(record=record, why=why) for record, why in found.left_out]
