"""A session in a terminal or a pipe: lines in, plain sentences out.

Turn by turn: simulated time stands still between two lines. On a terminal a line that is not
understood is answered and the next one is asked for; in a pipe it ends the script, with its
number and exit code 2, and the session is closed and its record whole all the same.

Never here: what the words do.
"""

import contextlib
import io
import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from typing import Final

from sim.debrief.debrief import finish
from sim.errors import CommandError, DrycycleError
from sim.scenario import library
from sim.session.opening import open_recorded, read
from sim.session.orders import Orders
from sim.session.session import Session
from sim.teaching.coach import Coach
from sim.text.acts import ABOUT_TIME, perform, told
from sim.text.demonstration import demonstrate
from sim.text.describe import told as parts_of
from sim.text.language import Act, expected, parse
from sim.text.names import pick
from sim.text.page import Page, Part, Table, may_draw
from sim.text.report import CAUTION, report
from sim.text.steps import step, steps_done

PROMPT: Final = "> "
NOT_UNDERSTOOD: Final = 2
EXPECT: Final = "What do you expect? sound, faulty or unsure, or your own words; or an empty line."
_TESTING: Final = ("drill", "assessment")
_LEAVE: Final = ("quit", "exit")


def play(
    session: Session,
    lines: Iterable[str] | None,
    write: Callable[[str], None],
    interactive: bool,
) -> int:
    """Play a session from lines to its debrief; return the exit code.

    Args:
        session: Newly opened.
        lines: What is typed; None reads standard input.
        write: Takes one line, without its end.
        interactive: Whether a person sits there: prompts, and errors that do not end it.
    """
    page = Page(write, drawn=interactive and may_draw())
    page.put(*_greeting(session))
    try:
        fault = _turns(
            Coach(session), session, _typed(lines, interactive=interactive), page, interactive
        )
    finally:
        found = finish(session)  # whatever happened, the record gets its closing line
    page.put("", *report(found))
    if session.record_path is not None:
        page.put("", f"The record of this session: {session.record_path}")
    if fault:
        page.put("", f"{fault}; the session was closed there")
    return NOT_UNDERSTOOD if fault else 0


def home(write: Callable[[str], None], lines: Iterable[str] | None = None) -> int:
    """Let a person choose scenarios and play them until they leave; return the exit code."""
    page = Page(write, drawn=may_draw())
    names = library.names()
    typed = _typed(lines, interactive=True)
    page.put("drycycle: a training saw that can be run wrong on purpose.", CAUTION, _menu(names))
    for line in typed:
        chosen = line.strip()
        if chosen.lower() in _LEAVE:
            break
        if chosen.lower() == "demo":
            demonstrate(write)
        elif chosen:
            try:
                name = _chosen(chosen, names)
                play(
                    open_recorded(name, None),
                    typed if lines is not None else None,
                    write,
                    interactive=True,
                )
            except DrycycleError as error:
                page.put(f"{error}.")
                continue
        page.put("", _menu(names))
    return 0


def _menu(names: tuple[str, ...]) -> Table:
    rows = tuple(
        (str(number), name, scenario.mode, f"level {scenario.level}", scenario.title)
        for number, name in enumerate(names, start=1)
        for scenario, _ in [read(name)]
    )
    title = "Choose by number or name; demo shows the saw at work; quit leaves."
    return Table(title, ("", "", "", "", ""), rows)


def _chosen(given: str, names: tuple[str, ...]) -> str:
    if given.isascii() and given.isdigit() and 1 <= int(given[:4]) <= len(names):
        return names[int(given) - 1]
    return pick(given, names, "scenario", "")


def _turns(
    coach: Coach, session: Session, typed: Iterator[str], page: Page, interactive: bool
) -> str:
    """Take line after line; return what ended it before its time, or empty."""
    orders = None if session.record_path is None else Orders(session.record_path)
    for number, line in enumerate(typed, start=1):
        if orders is not None:
            _obey(session, orders, page)
        try:
            act = parse(line.removeprefix("\ufeff") if number == 1 else line)
            if act is None:
                continue
            if act.word == "quit":
                break
            if interactive and _asks(session, act):
                page.put(EXPECT)
                act = replace(act, text=expected(next(typed, "")))
            _turn(coach, session, act, page)
        except CommandError as error:
            if not interactive:
                page.put(f"line {number}: {error}")
                return f"Stopped at line {number}"
            page.put(f"{error}.")
        if session.over and not interactive:
            page.put(f"The run ended at line {number}; what follows it was not played.")
            break
    return ""


def _asks(session: Session, act: Act) -> bool:
    """Return whether a person is to say what they expect before a look."""
    return act.word == "inspect" and not act.text and session.scenario.mode in _TESTING


def _obey(session: Session, orders: Orders, page: Page) -> None:
    """Carry out what an instructor has ordered since the last line, and tell what may be told."""
    seen = len(session.heard.events)
    orders.carry_out(session)
    page.put(*(told(event) for event in session.heard.events[seen:]))


def _turn(coach: Coach, session: Session, act: Act, page: Page) -> None:
    """Do one act; write what happened, what is answered, and how the machine now stands."""
    asked, seen, before = steps_done(session), len(session.heard.events), parts_of(session)
    over = session.over
    answer: tuple[Part, ...] = ()
    try:
        answer = perform(session, act)
    except CommandError:
        if over or not session.over:
            raise  # else the run ended on the way, and the events say how
    finally:
        page.put(*(told(event) for event in session.heard.events[seen:]))
    page.put(*answer)
    after = parts_of(session)
    page.put(*(f"Now: {after[part]}" for part in after if after[part] != before.get(part)))
    if remark := coach.remark():
        page.put(f"Coach: {remark}")
    if steps_done(session) != asked:
        page.put("", *step(session))
    if session.over and not over:
        page.put("You can still look and read; quit reads the debrief.")


def _greeting(session: Session) -> tuple[Part, ...]:
    scenario = session.scenario
    job = scenario.job
    told_first = (
        scenario.brief,
        f"The operator reports: {scenario.report}" if scenario.report else "",
        f"The order: {job.wanted} pieces of {job.length_mm:g} mm, good within "
        f"{job.tolerance_mm:g} mm, begun on {'a trim cut' if job.begin == 'trim' else 'a piece'}.",
    )
    return (
        f"{scenario.title} ({scenario.mode}, level {scenario.level})",
        *(part for part in told_first if part),
        *parts_of(session).values(),
        f"{ABOUT_TIME} Type help for the words.",
        "",
        *step(session),
    )


def _typed(lines: Iterable[str] | None, *, interactive: bool) -> Iterator[str]:
    if lines is not None:
        return iter(lines)
    return _from_keyboard() if interactive else _from_pipe()


def _from_pipe() -> Iterator[str]:
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(errors="replace")  # a wrong octet is a wrong word, not a crash
    yield from sys.stdin


def _from_keyboard() -> Iterator[str]:
    with contextlib.suppress(ImportError):
        import readline  # noqa: F401, PLC0415 - gives input() a history where there is one
    with contextlib.suppress(EOFError, KeyboardInterrupt):
        while True:
            yield input(PROMPT)
