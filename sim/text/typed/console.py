"""A session in a terminal or a pipe: lines in, plain sentences out.

Turn by turn: simulated time stands still between two lines. On a terminal a line that is not
understood is answered and the next one is asked for; in a pipe it ends the script, with its
number and exit code 2, and the session is closed and its record whole all the same. A question in a
pipe that is not understood is answered with its number, and the script goes on, for the saw stands as
it would have stood; the exit code is 2 in the end.

Never here: what the words do.
"""

import contextlib
import io
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from sim.debrief.debrief import finish
from sim.errors import CommandError
from sim.records.ending import Ended, whole
from sim.session.lockout import YOU_ARE
from sim.session.order_lines import Orders
from sim.session.playback.acting import meanwhile as beside_hands
from sim.session.playback.rewind import may_rewind, rewind
from sim.session.session import Session
from sim.session.sights.describe import told as parts_of
from sim.teaching.coach import Coach
from sim.text.events import line_of
from sim.text.kinds import MODE
from sim.text.page import Part, Printer, may_draw
from sim.text.report import report
from sim.text.typed.acts import perform
from sim.text.typed.language import WORDS, asks_only, parse
from sim.text.typed.line import ReadAct, read_line
from sim.text.typed.lists import ABOUT_TIME
from sim.text.typed.meanwhile import Meanwhile
from sim.text.typed.reading import TypedAct, expected
from sim.text.typed.steps import step, steps_done
from sim.units import MM, US
from sim.words.fields import authored, count, mm, name, one_of, part, seconds
from sim.words.message import NOTHING, Message, plain, quoted, row, sentences

Does = Callable[[Session, TypedAct], tuple[Part, ...]]
PROMPT: Final = "> "
NOT_UNDERSTOOD: Final = 2
EXPECT: Final = plain(
    "console.expect",
    "What do you expect? sound, faulty or unsure, or your own words; or an empty line. On one line it "
    "is written: inspect NAME expect WORDS.",
)
ERROR: Final = row("console.error", "{error}.", error=part())
_SAYS: Final = row(
    "console.error.says", "{error}.", error=part(capital=True)
)  # begins with no word
RECORD_IS: Final = row("console.record", "The record of this session: {file}", file=name())
_STOPPED: Final = row(
    "console.stopped",
    "Stopped at line {line}, as at any mistake in an act; the session was closed there",
    line=count(),
)
_NOT_TOLD: Final = plain(
    "console.stopped.not-told",
    "What it was worth is not told here, for that would tell what is hidden.",
)
_READ_IT: Final = plain("console.stopped.read-it", "drycycle debrief reads it off the record.")
_LINE: Final = row("console.line", "line {line}: {error}", line=count(), error=part())
_LINE_ACT: Final = row(
    "console.line.act", "line {line}, act {act}: {error}", line=count(), act=count(), error=part()
)
_ACT: Final = row("console.act", "Act {act} of the line: {error}.", act=count(), error=part())
_NONE_DONE: Final = plain("console.act.none-done", "Nothing of this line was done.")
_REST_NOT_DONE: Final = plain(
    "console.act.rest-not-done", "What follows it on the line was not done."
)
_UNANSWERED: Final = row(
    "console.unanswered", "Line {line} asked for something that there is not; the session went on",
    line=count(),
)  # fmt: skip
_ENDED: Final = row(
    "console.ended", "The run ended at line {line}; what follows it was not played.", line=count()
)
_NOW: Final = row("console.now", "Now: {part}", part=part())
_COACH: Final = row("console.coach", "Coach: {remark}", remark=part())
_OR_BACK: Final = plain(
    "console.or-back",
    "You can still look and read. On with rewind: back to five seconds before it, or to before the act in which it came. "
    "quit reads the debrief.",
)
_TAKEN_BACK: Final = row(
    "console.taken-back",
    "{time} are taken back, and {count} act that was done in them. Now do it right: rewind again goes further back.",
    plural="{time} are taken back, and {count} acts that were done in them. Now do it right: rewind again goes further back.",
    time=seconds(1), count=count(),
)  # fmt: skip
_TIME_BACK: Final = row(
    "console.time-back", "{time} are taken back. Now do it right: rewind again goes further back.",
    time=seconds(1),
)  # fmt: skip
_ALL_BACK: Final = plain(
    "console.all-back", "All of it is taken back, to the beginning. Now do it right."
)
_STILL: Final = plain("console.still", "You can still look and read; quit reads the debrief.")
_SCENARIO: Final = row(
    "console.scenario", "{title} ({mode}, level {level})",
    title=authored(), mode=part(), level=count(),
)  # fmt: skip
_REPORT: Final = row("console.report", "The operator reports: {report}", report=authored())
_ORDER: Final = row(
    "console.order",
    "The order: {count} piece of {length}, good within {tolerance}, begun with {first}.",
    plural="The order: {count} pieces of {length}, good within {tolerance}, begun with {first}.",
    count=count(), length=mm(None), tolerance=mm(None), first=one_of("squaring the end", "a piece"),
)  # fmt: skip
_AT_ONCE: Final = row(
    "console.order.at-once", "{bars} bars are cut at once, so that is {count} cut.",
    plural="{bars} bars are cut at once, so that is {count} cuts.", bars=count(), count=count(),
)  # fmt: skip
_HELP: Final = plain("console.help", "Type help for the words.")
_HINT: Final = plain(
    "console.help.lesson",
    "Type hint where you do not know how a step is done, and help for the words.",
)
_TESTING: Final = ("drill", "assessment")
LEAVE: Final = ("quit", "exit")
_BACK: Final = "rewind"


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
    page = Printer(write, drawn=interactive and may_draw())
    turns: Turns | None = None
    try:
        page.put(*_greeting(session))
        meanwhile = Meanwhile()
        typed = typed_lines(lines, interactive=interactive, meanwhile=meanwhile)
        turns = Turns(session, typed, page, interactive=interactive, meanwhile=meanwhile)
        fault = turns.take()
    except Ended as ended:
        if not ended.torn:
            _of(turns, session).close()  # without a debrief, for which nobody waits
        raise
    except BaseException:
        finish(_of(turns, session))  # whatever happened, the record gets its closing line
        raise
    session = turns.session
    found = finish(session)
    if turns.stopped and found.weighs:
        kept = session.record_path is not None
        page.put(NOTHING, sentences(_NOT_TOLD, _READ_IT) if kept else _NOT_TOLD)
    else:
        page.put(NOTHING, *report(found))
    if news := session.record_news():
        page.put(NOTHING, *news)
    if session.record_path is not None:  # asked now: it may have been saved elsewhere
        page.put(NOTHING, RECORD_IS(file=str(session.record_path)))
    if fault:
        page.put(NOTHING, fault)
    return NOT_UNDERSTOOD if fault else 0


def _taken_back(to_us: int, time_s: float, acts: int) -> Message:
    if to_us == 0:
        return _ALL_BACK
    return _TAKEN_BACK(time=time_s, count=acts) if acts else _TIME_BACK(time=time_s)


def _of(turns: "Turns | None", session: Session) -> Session:
    """Return the session that goes on: where one went back, another than was opened."""
    return session if turns is None else turns.session


class Turns:
    """Line after line of a session, until one ends it.

    Args:
        session: The session.
        typed: The lines.
        page: Where it is told.
        interactive: As for `play`.
        does: Does an act to the session, and returns what is answered.
        meanwhile: Is told what to say while a line is awaited.
    """

    def __init__(
        self,
        session: Session,
        typed: Iterator[str],
        page: Printer,
        *,
        interactive: bool,
        does: Does = perform,
        meanwhile: Meanwhile | None = None,
    ) -> None:
        self._coach, self.session, self._does = Coach(session), session, does
        self._page, self._interactive = page, interactive
        self._lines = _Lines(typed)
        self._number = 0
        self._unanswered = NOTHING
        self._ended_at = 0  # number of the line at which the run ended, where it may go back
        self.stopped = False  # by a mistake in an act
        self._said_before: list[Part] = []  # with the line before this one
        self._from = 0  # of what the page has said, where the answer to this line begins
        file = session.record_path
        self._orders = None if file is None else Orders(file)
        if meanwhile is not None:
            meanwhile.come, meanwhile.say = self._come, self._page.put

    def _come(self) -> tuple[Part, ...]:
        """Carry out what an instructor has ordered since the last look; return what may be told of it."""
        if self._orders is None:
            return ()
        with whole():
            return _obey(self.session, self._orders)

    def take(self) -> Message:
        """Return what ended it before its time or was not understood, or nothing."""
        for number, line in enumerate(self._lines, start=1):
            self._number = number
            self._said_before, self._page.said = self._page.said, []
            self._page.put(*self.session.record_news())
            self._page.put(*self._come())
            self._from = len(self._page.said)
            read = read_line(line.removeprefix("\ufeff") if number == 1 else line)
            if self._ended_at and not _goes_back(read):
                break
            if not all(map(self._may_go_on, read)):
                if self._interactive:
                    continue
                self.stopped = True
            if self.stopped or not self._take_line(read):
                break
        if self.stopped:
            return _STOPPED(line=self._number)
        if self._ended_at:
            self._page.put(_ENDED(line=self._ended_at))
        return self._unanswered

    def _take_line(self, read: Sequence[ReadAct]) -> bool:
        """Do the acts of a line, and return whether there is to be another one."""
        for place, each in enumerate(read, start=1):
            if each.act is not None and each.act.word == "quit":
                return False
            if not self._done(each):
                self.stopped = not self._interactive
                return self._interactive
            if self.session.over and not self._interactive:
                self._ended_at = self._ended_at or self._number
                if not may_rewind(self.session) or not _goes_back(read[place:]):
                    return False
        return True

    def _may_go_on(self, read: ReadAct) -> bool:
        """Tell what is wrong with an act before any of its line is done; return whether the line goes on."""
        if read.error is None or self._only_asked(read, read.error):
            return True
        self._page.put(*((_NONE_DONE,) if read.place.of > 1 else ()))
        return False

    def _done(self, read: ReadAct) -> bool:
        """Do an act; tell why it could not be done, and return whether the line goes on."""
        act = read.act
        if act is None:
            return True
        if act.word == "repeat":
            self._page.put(*(self._page.said[self._from :] or self._said_before))
            return True
        try:
            if self._interactive and _asks(self.session, act):
                self._page.put(EXPECT)
                act = self._lines.expecting(act)
            with whole():
                if act.word == _BACK and self._does is perform:
                    self._go_back(act)
                else:
                    _turn(self._coach, self.session, act, self._page, self._does)
        except CommandError as error:
            if not self._only_asked(read, error):
                self._page.put(*((_REST_NOT_DONE,) if read.place.act < read.place.of else ()))
                return False
        return True

    def _go_back(self, act: TypedAct) -> None:
        """Go on with a session that went back; raises CommandError where there is no going back."""
        seen = len(self.session.heard.events)
        self.session = session = rewind(self.session, act.seconds or None)
        self._coach, self._ended_at = Coach(session), 0
        took = session.rewinds[-1]
        acts, time_s = sum(not beside_hands(each) for each in took.acts), took.took_us / US
        self._page.put(
            *map(line_of, session.heard.events[seen:]), *session.record_news(),
            _taken_back(took.to_us, time_s, acts),
            *parts_of(session).values(), NOTHING, *step(session),
        )  # fmt: skip

    def _only_asked(self, read: ReadAct, error: CommandError) -> bool:
        """Tell an error and where it is; return whether the script may go on all the same."""
        act, said = read.place.act, error.message
        several = read.place.of > 1
        if self._interactive:
            alone = ERROR if error.where else _SAYS
            self._page.put(_ACT(act=act, error=said) if several else alone(error=said))
            return False
        line = self._number
        self._page.put(
            _LINE_ACT(line=line, act=act, error=said) if several else _LINE(line=line, error=said)
        )
        if not asks_only(read.typed):
            return False
        self._unanswered = self._unanswered or _UNANSWERED(line=line)
        return True


def _goes_back(read: Sequence[ReadAct]) -> bool:
    """Return whether what is read begins with a going back, or is nothing."""
    first = next((each for each in read if each.act is not None or each.error is not None), None)
    return first is None or (first.act is not None and first.act.word == _BACK)


def _asks(session: Session, act: TypedAct) -> bool:
    """Return whether a person is to say what they expect before a look."""
    if act.word != "inspect" or act.text or session.scenario.mode not in _TESTING:
        return False
    allowed = session.scenario.inspections
    return (allowed == "all" or act.names[0] in allowed) and not (session.over or session.frozen)


class _Lines:
    """The lines as they come; a command in the place of an expectation is taken for a command."""

    def __init__(self, typed: Iterator[str]) -> None:
        self._typed = typed
        self._kept: list[str] = []

    def __iter__(self) -> Iterator[str]:
        return self

    def __next__(self) -> str:
        return self._kept.pop() if self._kept else next(self._typed)

    def expecting(self, look: TypedAct) -> TypedAct:
        """Return a look with what the next line says is expected of it."""
        answer = next(self, "")
        try:
            act = parse(answer) if answer.partition(" ")[0].strip() in WORDS else None
        except CommandError:
            act = None
        if act is None:  # no command, so these are a person's own words
            return replace(look, text=expected(answer))
        if act.word == look.word and act.names == look.names:
            return act  # the same look once more, with the expectation behind it
        self._kept.append(answer)
        return look


def _obey(session: Session, orders: Orders) -> tuple[Part, ...]:
    """Carry out what an instructor has ordered since the last look, and return what may be told."""
    seen = len(session.heard.events)
    orders.carry_out(session)
    return tuple(map(line_of, session.heard.events[seen:]))


def _turn(coach: Coach, session: Session, act: TypedAct, page: Printer, does: Does) -> None:
    """Do one act; write what happened, what is answered, and how the machine now stands."""
    asked, seen, before = steps_done(session), len(session.heard.events), parts_of(session)
    over = session.over
    answer: tuple[Part, ...] = ()
    try:
        answer = does(session, act)
    except CommandError:
        if over or not session.over:
            raise  # else the run ended on the way, and the events say how
    finally:
        page.put(*map(line_of, session.heard.events[seen:]))
    page.put(*answer, *session.record_news())
    after = parts_of(session)
    page.put(*(_NOW(part=said) for which, said in after.items() if said != before.get(which)))
    told = (*answer, *(event.message for event in session.heard.events[seen:]))
    if (remark := coach.remark()) and remark not in told:
        page.put(_COACH(remark=remark))
    if steps_done(session) != asked:
        page.put(NOTHING, *step(session))
    if session.over and not over:
        page.put(_OR_BACK if may_rewind(session) else _STILL)


def _greeting(session: Session) -> tuple[Part, ...]:
    scenario = session.scenario
    job, bars = scenario.job, session.pieces_a_cut
    return (
        _SCENARIO(title=scenario.title, mode=MODE(mode=scenario.mode), level=scenario.level),
        *((quoted(scenario.brief),) if scenario.brief else ()),
        *((_REPORT(report=scenario.report),) if scenario.report else ()),
        YOU_ARE[scenario.role],
        _ORDER(
            count=job.wanted * bars, length=job.length_mm * MM, tolerance=job.tolerance_mm * MM,
            first="squaring the end" if job.first == "square" else "a piece",
        ),
        *((_AT_ONCE(bars=bars, count=job.wanted),) if bars > 1 else ()),
        *parts_of(session).values(),
        sentences(ABOUT_TIME, _HINT if scenario.mode == "lesson" else _HELP),
        NOTHING,
        *step(session),
    )  # fmt: skip


def typed_lines(
    lines: Iterable[str] | None, *, interactive: bool, meanwhile: Meanwhile | None = None
) -> Iterator[str]:
    """Return the lines that are typed; None reads standard input."""
    if lines is not None:
        return iter(lines)
    return _from_keyboard(meanwhile or Meanwhile()) if interactive else _from_pipe()


def _from_pipe() -> Iterator[str]:
    if isinstance(sys.stdin, io.TextIOWrapper):
        sys.stdin.reconfigure(errors="replace")  # a wrong octet is a wrong word, not a crash
    yield from sys.stdin


def _from_keyboard(meanwhile: Meanwhile) -> Iterator[str]:
    with contextlib.suppress(ImportError):
        import readline  # noqa: F401, PLC0415 - gives input() a history where there is one
    with contextlib.suppress(EOFError, KeyboardInterrupt, OSError):  # OSError: the terminal is gone
        while True:
            with meanwhile.awaiting(PROMPT):
                line = input(PROMPT)
            yield line
