"""Home in a terminal: what to go on with, the path of lessons, and practice and drills by what was reported.

Never here: a session (see `console`), and what comes next (see `debrief.proposals`).
"""

from collections.abc import Callable, Iterable
from typing import Final

from sim.debrief.library_entries import (
    GROUPS,
    PRACTICE,
    Library,
    LibraryEntry,
    group_of,
    passed_of,
    read_library,
    stands,
)
from sim.errors import CommandError, DrycycleError
from sim.session.opening import library_refusals, open_recorded
from sim.text.names import pick
from sim.text.page import Printer, Table, may_draw
from sim.text.report import CAUTION
from sim.text.typed.console import ERROR, LEAVE, play, typed_lines
from sim.text.typed.demonstration import demonstrate
from sim.text.typed.language import WORDS
from sim.words.fields import count, name, part
from sim.words.message import NOTHING, Message, plain, quoted, row

_HOME: Final = plain("console.home", "drycycle: a training saw that can be run wrong on purpose.")
_START: Final = row(
    "console.home.start", "Start here: {number}, {title}. {why}",
    number=count(), title=part(), why=part(),
)  # fmt: skip
_GO_ON: Final = row(
    "console.home.go-on", "Go on: {number}, {title}. {why}",
    number=count(), title=part(), why=part(),
)  # fmt: skip
_ENTER: Final = plain(
    "console.home.enter",
    "Press the enter key to begin it, or choose another by its number or name.",
)
_CHOOSE: Final = plain("console.home.choose", "Choose by number or name.")
_WORDS: Final = plain(
    "console.home.words",
    "A word of the last table lists its drills; path lists the lessons again; demo shows the saw at work; quit leaves.",
)
_LESSONS: Final = plain("console.home.lessons", "Lessons")
_PRACTICE: Final = plain("console.home.practice", "Practice")
_DRILLS: Final = plain("console.home.drills", "Drills by what was reported")
_GROUP: Final = row("console.home.group", "{title}: {passed}", title=part(), passed=part())
_NUMBER: Final = row("console.number", "{number}", number=count())
_LEVEL: Final = row("console.level", "level {level}", level=count())
_NEXT: Final = row("console.home.next", "next, {stands}", stands=part())
_NO_SESSION: Final = row(
    "console.home.no-session", "{word} is a word of a session, and none runs yet", word=name()
)
_BEGIN_ONE: Final = plain(
    "console.home.no-session.to-do",
    "press the enter key to begin one, or choose it by number or name",
)
_TYPED: Final = row("console.home.typed", "{word}", word=name())
_DRILL_GROUPS: Final = tuple(each for each in GROUPS if each != PRACTICE)


def home(write: Callable[[str], None], lines: Iterable[str] | None = None) -> int:
    """Let a person choose scenarios and play them until they leave; return the exit code."""
    page = Printer(write, drawn=may_draw())
    refused = [ERROR(error=each.message) for each in library_refusals()]
    typed = typed_lines(lines, interactive=True)
    page.put(_HOME, CAUTION, *refused)
    shelf = _Shelf()
    page.put(*shelf.all())
    for line in typed:
        chosen = line.strip().lower()
        if chosen in LEAVE:
            break
        if chosen in _DRILL_GROUPS:
            page.put(NOTHING, shelf.group(chosen))
            continue
        if chosen == "path":
            page.put(NOTHING, *shelf.all())
            continue
        if chosen == "demo":
            demonstrate(write)
        else:
            try:
                play(
                    open_recorded(shelf.chosen(chosen), None),
                    typed if lines is not None else None,
                    write,
                    interactive=True,
                )
            except DrycycleError as error:
                page.put(ERROR(error=error.message))
                continue
        shelf = _Shelf()
        page.put(NOTHING, *shelf.all())
    return 0


class _Shelf:
    """Everything that can be picked, each with its number: lessons, practice, then drills by group."""

    def __init__(self) -> None:
        library = read_library()
        others = [each for each in library.entries if each.listed.mode != "lesson"]
        grouped = [each for of in GROUPS for each in others if group_of(each) == of]
        self._library: Library = library
        self._number = {
            each.name: number for number, each in enumerate([*library.lessons, *grouped], start=1)
        }
        self._of = {of: [each for each in grouped if group_of(each) == of] for of in GROUPS}

    def all(self) -> tuple[Message | Table, ...]:
        """Return what to go on with, the path, practice, and what drills there are."""
        library = self._library
        ahead = next((each for each in library.entries if each.name == library.next), None)
        first: tuple[Message, ...] = (_CHOOSE,)
        if ahead is not None:
            said = (_GO_ON if library.begun else _START)(
                number=self._number[ahead.name], title=quoted(ahead.listed.title), why=library.why
            )
            first = (said, _ENTER)
        lessons, practice = library.lessons, self._of[PRACTICE]
        tables = [self._table(_GROUP(title=_LESSONS, passed=passed_of(lessons)), lessons)]
        if practice:
            tables.append(self._table(_PRACTICE, practice))
        groups = tuple(
            (_TYPED(word=of), GROUPS[of], passed_of(found))
            for of in _DRILL_GROUPS
            if (found := self._of[of])
        )
        drills = (Table(_DRILLS, ("", "", ""), groups),) if groups else ()
        return (*first, *tables, *drills, _WORDS)

    def group(self, of: str) -> Table:
        """Return the drills of a group."""
        found = self._of[of]
        return self._table(_GROUP(title=GROUPS[of], passed=passed_of(found)), found)

    def chosen(self, given: str) -> str:
        """Return the name of what was chosen; of what is gone on with for an empty line.

        Raises:
            CommandError: There is none of that number or name.
        """
        if not given and self._library.next:
            return self._library.next
        names = list(self._number)
        if given.isascii() and given.isdigit() and 1 <= int(given[:4]) <= len(names):
            return names[int(given) - 1]
        word = given.split(maxsplit=1)[0] if given else ""
        if given not in names and word in WORDS:
            raise CommandError(_NO_SESSION(word=word), what_to_do=_BEGIN_ONE)
        return pick(given, tuple(names), "scenario", "")

    def _table(self, title: Message, entries: Iterable[LibraryEntry]) -> Table:
        rows = tuple(
            (
                _NUMBER(number=self._number[each.name]),
                each.name, quoted(each.listed.title), _LEVEL(level=each.listed.level),
                _NEXT(stands=stands(each)) if each.name == self._library.next else stands(each),
            )
            for each in entries
        )  # fmt: skip
        return Table(title, ("", "", "", "", ""), rows)
