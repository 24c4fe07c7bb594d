"""The records of a class side by side: who did what, how well, and what it adds up to.

What a session was worth stands in the closing line of its record, written when it was closed. A
record whose closing line does not say so is played again, which only the same version of the program
can do. A record that was cut, cannot be read or played, or is a copy of another, is listed with the
reason and counts for nothing.

There is no name of a person in a record, only the pseudonym given with `--who`; who is behind it is
on the instructor's own list.
"""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import astuple, dataclass, fields, replace
from math import fsum
from pathlib import Path
from statistics import mean
from typing import Final

from sim.debrief.copies import Known, copies_in
from sim.debrief.debrief import debrief, summary
from sim.debrief.paper import BAD, GOOD, STYLE, Child, el, label, page, table
from sim.debrief.played_on import PlayedOn, played_on
from sim.errors import DrycycleError, RecordError
from sim.records.acts import OrderRefused, Rewound, is_carried_out
from sim.records.folder import check_folder
from sim.records.reading import SessionRecord, read_record
from sim.records.rows import Opening, Worth
from sim.records.running import is_running
from sim.session.order_key import key_for
from sim.session.playback.recorded import scenario_text
from sim.session.playback.replay import replay_of
from sim.session.shelf import listed
from sim.words.fields import name, number, part
from sim.words.message import Message, plain, row
from sim.words.visible import visible

_MEAN: Final = row("class.mean", "{score}", score=number(1))
_COUNT: Final = row("class.count", "{number}", number=number())
_MINUTES: Final = row("class.minutes", "{minutes}", minutes=number(1))
_NAME: Final = row("class.name", "{name}", name=name())
MOST_CALLS: Final = 1_000_000  # of the clock, for one record of a class to be played again
_NO_RECORD: Final = plain("class.error.no-record", "there is no record in the folder")
_RECORDS_END: Final = plain("class.error.no-record.what-to-do", "records end in .jsonl")
_OTHER_MODE: Final = plain(
    "class.error.other-mode", "the record says another mode than its scenario has"
)
_ORDERS: Final = row("class.orders", "{taken}, refused {refused}", taken=number(), refused=number())
_RUNS: Final = plain("class.left-out.runs", "its session is still running")
OF_SHIFT: Final = plain(
    "class.left-out.shift",
    "it is of a shift of orders, which has no points; drycycle debrief reads it",
)
"""Why the record of a shift is passed over, which is nothing wrong with it."""
_BROKEN_OFF: Final = row(
    "class.left-out.broken-off", "its session was broken off: {how}", how=part()
)
_ELSE: Final = plain("class.error.else", "played again, it comes to something else")


NO_CODE, A_CODE, THIS_CODE, ANOTHER_CODE = "none", "one", "instructor", "another"
CODES: Final = {
    NO_CODE: plain("class.code.none", "no"),
    A_CODE: plain("class.code.one", "yes"),
    THIS_CODE: plain("class.code.instructor", "the instructor's"),
    ANOTHER_CODE: plain("class.code.another", "another one"),
}
"""Whether a session was begun with an instructor's code, and where one is held against it, with which."""

CAME_TO: Final = {
    "passed": plain("class.outcome.passed", "passed"),
    "found": plain("class.outcome.found", "found, not proved"),
    "practised": plain("class.outcome.practised", "practised, with hints"),
    "not passed": plain("class.outcome.not-passed", "not passed"),
}
"""What came of a session, by its word in records."""

_AFTER_ANSWER: Final = {
    "practised": plain("class.after-answer.practised", "practised, after its answer was shown"),
    "not passed": plain("class.after-answer.not-passed", "not passed, after its answer was shown"),
}
"""The same of a drill that was played after its answer was shown, which is never more than practice."""

_REHEARSED: Final = {
    "practised": plain("class.rehearsed.practised", "practised, after it was rehearsed"),
    "not passed": plain("class.rehearsed.not-passed", "not passed, after it was rehearsed"),
}
"""And of one that the same trainee had rehearsed, in an attempt that broke off."""


_TAKEN_BACK: Final = {
    "practised": plain("class.taken-back.practised", "practised, with something taken back"),
    "not passed": plain("class.taken-back.not-passed", "not passed, with something taken back"),
}
"""And of a lesson or of practice in which an accident was taken back."""


@dataclass(frozen=True, slots=True)
class SessionRow:
    """One record."""

    who: str  # pseudonym, empty for those without one
    scenario: str  # its name, by the digest of its file
    mode: str
    score: int
    passed: bool
    minutes: float
    critical: int  # acts
    hints: int
    record: str  # file name
    exposed_s: float = 0.0  # hands in reach with nothing to protect them
    strikes: int = 0  # times that hands were struck
    digest: str = ""  # of the scenario's file, SHA-256
    saw: str = ""  # digest of the machine, SHA-256
    own: str = ""  # file or saw, where that was somebody's own
    orders: int = 0  # of an instructor, carried out
    orders_refused: int = 0  # that reached the session and were not taken
    code: str = NO_CODE  # with which it was begun: one of CODES
    outcome: str = ""  # what came of it; empty where the record says only whether it was passed
    after_answer: bool = False  # it was played after its answer was shown
    rehearsed: bool = False  # or after it was rehearsed
    rewinds: int = 0  # times that something was taken back

    @property
    def on(self) -> str:
        """What it was on: the name of what ships, or that it was somebody's own."""
        return str(self.title)

    @property
    def title(self) -> Message:
        """The same, for whoever reads."""
        own_file, own_saw = self.own == "file", self.own == "saw"
        return PlayedOn(self.scenario, self.digest, self.saw, own_file, own_saw).title

    @property
    def came_to(self) -> Message:
        """What came of it, for whoever reads."""
        words = CAME_TO
        if not self.passed and (self.after_answer or self.rehearsed):
            words = _AFTER_ANSWER if self.after_answer else _REHEARSED
        elif self.rewinds and not self.passed:
            words = _TAKEN_BACK
        return words[self.outcome or ("passed" if self.passed else "not passed")]

    @property
    def marked(self) -> bool:
        """Whether it is an assessment that had orders, or that was begun with somebody else's code."""
        odd = self.orders or self.orders_refused or self.code == ANOTHER_CODE
        return self.mode == "assessment" and bool(odd)


@dataclass(frozen=True, slots=True)
class Total:
    """What the records of one person, or of all, come to."""

    who: str  # pseudonym, empty for those without one, and for all
    sessions: int
    passed: int
    mean_score: float
    minutes: float
    critical: int
    hints: int
    exposed_s: float = 0.0  # hands in reach with nothing to protect them
    strikes: int = 0  # times that hands were struck
    own: int = 0  # of the sessions, those on a file or a saw of somebody's own


@dataclass(frozen=True, slots=True)
class Class:
    """The records of a folder."""

    rows: tuple[SessionRow, ...]  # by person, then scenario, then file
    people: tuple[Total, ...]
    total: Total
    left_out: tuple[tuple[str, Message], ...]  # file name and reason


def class_of(folder: Path, *, recount: bool = False, code: str = "") -> Class:
    """Return what the records of a folder and the folders in it come to.

    Args:
        folder: Where the records lie.
        recount: Play every record again, and leave out those whose closing line says otherwise.
        code: The instructor's, to tell the sessions that were begun with another; empty to tell none.

    Raises:
        RecordError: There is no such folder, or no record in it.
    """
    check_folder(folder)
    paths = sorted(p for p in folder.rglob("*.jsonl") if not p.name.endswith(".orders.jsonl"))
    if not paths:
        raise RecordError(_NO_RECORD, str(folder), _RECORDS_END)
    rows: list[SessionRow] = []
    left_out: dict[str, Message] = {}
    known: list[Known] = []
    for path in paths:
        record = path.relative_to(folder).as_posix()
        try:
            read = read_record(path)
            if read.opening.of_shift:
                left_out[record] = OF_SHIFT
                continue
            rows.append(_row(read, record, recount, code))
            known.append(Known.of(read, record))
        except DrycycleError as fault:
            left_out[record] = fault.what
            known += _unfinished(path, record, left_out)
    left_out |= copies_in(known)
    rows = [each for each in rows if each.record not in left_out]
    rows.sort(key=lambda each: (each.who, each.scenario, each.record))
    people = tuple(
        _total(who, [each for each in rows if each.who == who])
        for who in dict.fromkeys(each.who for each in rows)
    )
    return Class(tuple(rows), people, _total("", rows), tuple(sorted(left_out.items())))


def _unfinished(path: Path, name: str, left_out: dict[str, Message]) -> Iterator[Known]:
    """Put down whether a session runs or was broken off, and yield what was; none that is spoilt or closed."""
    try:
        record = read_record(path, allow_cut=True)
    except DrycycleError:
        return
    if record.closing is not None:
        return
    if is_running(path, record):
        left_out[name] = _RUNS
        return
    if record.opening.of_shift:
        left_out[name] = OF_SHIFT
        return
    left_out[name] = _BROKEN_OFF(how=record.cut)
    yield Known.of(record, name)


def _row(record: SessionRecord, name: str, recount: bool, code: str) -> SessionRow:
    closing, opening = record.closing, record.opening
    told = closing.summary if closing is not None else None
    _check_scenario(record)
    on = played_on(opening)
    worth = _again(record, told) if told is None or recount else told
    acts = [act for _, act in record.acts]
    return SessionRow(
        opening.who, on.scenario, opening.mode, worth.score, worth.passed,
        worth.minutes, worth.critical, worth.hints, name, worth.exposed_s,
        worth.strikes, on.digest, on.saw, on.own,
        sum(map(is_carried_out, acts)),
        sum(isinstance(act, OrderRefused) for act in acts),
        _begun_with(opening, code), worth.outcome, opening.answer_known,
        opening.rehearsed, sum(isinstance(act, Rewound) for act in acts),
    )  # fmt: skip


def _begun_with(opening: Opening, code: str) -> str:
    """Return which of CODES a session was begun with."""
    if not opening.orders_check:
        return NO_CODE
    if not code:
        return A_CODE
    same = key_for(code, opening.orders_salt, opening.orders_check) is not None
    return THIS_CODE if same else ANOTHER_CODE


def _check_scenario(record: SessionRecord) -> None:
    """Hold what a record says of its scenario against what can be known without playing it.

    Raises:
        RecordError: The text in it does not fit its digest, or a scenario that ships has another mode.
    """
    scenario_text(record)
    on = played_on(record.opening)
    modes = {each.name: each.mode for each in listed()}
    if not on.own_file and modes.get(on.scenario) != record.opening.mode:
        raise RecordError(_OTHER_MODE, record.name)


def _again(record: SessionRecord, told: Worth | None) -> Worth:
    """Return what a record comes to when it is played again, which must be what it tells."""
    played = replay_of(record, MOST_CALLS)
    worth = summary(debrief(played.session))
    if not played.same or (told is not None and worth != told):
        raise RecordError(_ELSE, record.name)
    return worth


def _total(who: str, rows: Sequence[SessionRow]) -> Total:
    return Total(
        who,
        len(rows),
        sum(row.passed for row in rows),
        mean(row.score for row in rows) if rows else 0.0,
        fsum(row.minutes for row in rows),
        sum(row.critical for row in rows),
        sum(row.hints for row in rows),
        fsum(row.exposed_s for row in rows),
        sum(row.strikes for row in rows),
        sum(bool(row.own) for row in rows),
    )


def csv_of(found: Class) -> str:
    """Return the records as comma-separated values, a line each; totals are left to the reader.

    A record that was left out has its file's name and the reason, and nothing else.
    """
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\n")
    heads = [field.name for field in fields(SessionRow)]
    write.writerow([*heads, "left_out"])
    write.writerows(_safe([*astuple(replace(row, scenario=row.on)), ""]) for row in found.rows)
    write.writerows(
        _safe([record if head == "record" else "" for head in heads] + [str(why)])
        for record, why in found.left_out
    )
    return out.getvalue()


def _safe(cells: Iterable[object]) -> list[object]:
    """Keep a spreadsheet from taking a text for a formula."""
    shown = [visible(cell) if isinstance(cell, str) else cell for cell in cells]
    return [f"'{c}" if isinstance(c, str) and c[:1] in "=+-@" and c else c for c in shown]


_STYLE: Final = f"""{STYLE}
table.numbers td, table.numbers thead th:not(:first-child) {{ text-align: right; }}
.flag.good {{ color: {GOOD}; font-weight: 600; }}
.flag.bad {{ color: {BAD}; font-weight: 600; }}
"""


def html_of(found: Class) -> str:
    """Return the class as one self-contained page, for who reads now."""
    heads = (
        label("Who"), label("Sessions"), label("On own files"), label("Passed"), label("Mean score"), label("Minutes"),
        label("Critical acts"), label("Hints"), label("Hands exposed, s"),
        label("Hands struck"),
    )  # fmt: skip
    totals = [(_who(each.who), *_numbers(each)) for each in found.people]
    totals.append((label("All"), *_numbers(found.total)))
    columns = (
        label("Who"), label("Scenario"), label("Mode"), label("Score"), "", label("Minutes"),
        label("Critical acts"), label("Hints"), label("Hands exposed, s"),
        label("Hands struck"), label("Begun with a code"), label("Orders"),
    )  # fmt: skip
    left = [(_NAME(name=record), why) for record, why in found.left_out]
    return page(
        "drycycle class",
        label("Class report"),
        _STYLE,
        el("h1", label("Class report")),
        el(
            "p",
            label(
                "Minutes are simulated. A critical act fails a session, and so do hands exposed; a drill with a hint is practice, and so is one that is played after its answer was shown or after it was rehearsed, and whatever had something taken back."
            ),
            class_="quiet",
        ),
        el("h2", label("By person")),
        table(heads, totals, "numbers"),
        el("h2", label("By session")),
        table(columns, [_cells(each) for each in found.rows]),
        *(
            [el("h2", label("Left out")), table((label("Record"), label("Why")), left)]
            if left
            else []
        ),
    )


def _who(who: str) -> Child:
    return _NAME(name=who) if who else label("not named")


def _numbers(total: Total) -> tuple[Child, ...]:
    return (
        _COUNT(number=total.sessions),
        _COUNT(number=total.own),
        _COUNT(number=total.passed),
        _MEAN(score=total.mean_score),
        _MINUTES(minutes=total.minutes),
        _COUNT(number=total.critical),
        _COUNT(number=total.hints),
        _MINUTES(minutes=total.exposed_s),
        _COUNT(number=total.strikes),
    )


def _cells(each: SessionRow) -> tuple[Child, ...]:
    return (
        _who(each.who),
        each.title,
        label(each.mode),
        _COUNT(number=each.score),
        el("span", each.came_to, class_=_flag(each.passed)),
        _MINUTES(minutes=each.minutes),
        _COUNT(number=each.critical),
        _COUNT(number=each.hints),
        _MINUTES(minutes=each.exposed_s),
        _COUNT(number=each.strikes),
        _code(each),
        _orders(each),
    )


def _code(each: SessionRow) -> Child:
    """Return whether it was begun with a code; an assessment that was with another one is marked."""
    said = CODES[each.code]
    return _marked(said) if each.marked and each.code == ANOTHER_CODE else said


def _orders(each: SessionRow) -> Child:
    """Return how many orders there were; an assessment that has any is marked."""
    if not each.orders and not each.orders_refused:
        return ""
    said = _ORDERS(taken=each.orders, refused=each.orders_refused)
    return _marked(said) if each.marked else said


def _marked(said: Message) -> Child:
    return el("span", label("MARKED"), " ", said, class_="flag bad")


def _flag(passed: bool) -> str:
    return "flag good" if passed else "flag bad"
