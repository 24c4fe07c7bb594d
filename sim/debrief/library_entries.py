"""The scenarios as Home lists them in window and terminal: their groups, how each stands, and what to go on with.

The first frame waits for this, so without records nothing is loaded to read them.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from sim.debrief.course import FIRST, in_course_order
from sim.errors import RecordError
from sim.records.folder import home
from sim.session.shelf import Listed, listed
from sim.words.fields import count
from sim.words.message import NOTHING, Message, plain, row

_BEST: Final = row("home.passed", "passed, best {score}", score=count())
_BEST_DUE: Final = row("home.passed-due", "passed, best {score}, due again", score=count())
_NOT: Final = row("home.not-passed", "not passed, best {score}", score=count())
_NOT_DUE: Final = row("home.not-passed-due", "not passed, best {score}, due again", score=count())
_NEW: Final = plain("home.new", "not done yet")
_PASSED_OF: Final = row("home.passed-of", "{count} of {all} passed", count=count(), all=count())
PRACTICE: Final = "practice"

# What practice and drills are grouped by, in the order of the tiles: those of drills as `scenario.said_by_operator`
# names them. A class or a site that brings drills of its own adds its row.
GROUPS: Final[dict[str, Message]] = {
    PRACTICE: plain("home.group.practice", "Practice"),
    "length": plain("home.group.length", "Wrong length"),
    "face": plain("home.group.face", "Crooked or dented"),
    "slow": plain("home.group.slow", "Takes too long"),
    "coolant": plain("home.group.coolant", "Dry cut, wet floor"),
    "stands": plain("home.group.stands", "Stops in the job"),
    "start": plain("home.group.start", "Job will not start"),
    "power": plain("home.group.power", "No control power"),
    "hand": plain("home.group.hand", "Fails by hand"),
    "lamp": plain("home.group.lamp", "A lamp is lit"),
    "other": plain("home.group.other", "Something else"),
}


@dataclass(frozen=True, slots=True)
class LibraryEntry:
    """One scenario to pick, and how it stands with this trainee."""

    listed: Listed
    best: int | None = None  # score; None when it was never finished
    passed: bool = False  # ever
    due: bool = False  # one of its skills is to be practised again

    @property
    def name(self) -> str:
        """What it is opened by."""
        return self.listed.name

    @property
    def standing(self) -> str:
        """Which of the lists it belongs to: new, due or done."""
        return "due" if self.due else "done" if self.passed else "new"


@dataclass(frozen=True, slots=True)
class Library:
    """Everything that can be picked, and what is gone on with."""

    entries: tuple[LibraryEntry, ...]
    next: str  # the name of the scenario to go on with; empty where there is none
    why: Message  # that one
    begun: bool  # somebody has finished or left something

    @property
    def lessons(self) -> list[LibraryEntry]:
        """The lessons, in the order of the course."""
        found = {each.name: each for each in self.entries}
        course = in_course_order(each.listed for each in self.entries)
        return [found[each.name] for each in course if each.mode == "lesson"]

    @property
    def next_lesson(self) -> str:
        """The lesson that is next on the path: what is gone on with, or the first that was never passed."""
        names = [each.name for each in self.lessons]
        if self.next in names:
            return self.next
        return next((each.name for each in self.lessons if not each.passed), "")


def group_of(entry: LibraryEntry) -> str:
    """Return the group of what is no lesson."""
    listed = entry.listed
    return (
        PRACTICE if listed.mode == PRACTICE else listed.said if listed.said in GROUPS else "other"
    )


def stands(entry: LibraryEntry) -> Message:
    """Return how a scenario stands with this trainee, a few words."""
    if entry.best is None:
        return _NEW
    if entry.passed:
        return (_BEST_DUE if entry.due else _BEST)(score=entry.best)
    return (_NOT_DUE if entry.due else _NOT)(score=entry.best)


def passed_of(entries: Sequence[LibraryEntry]) -> Message:
    """Return how many of some scenarios this trainee has passed."""
    return _PASSED_OF(count=sum(each.passed for each in entries), all=len(entries))


def read_library() -> Library:
    """Return every scenario that ships, with what the records say of it."""
    if not _any_record():
        entries = tuple(LibraryEntry(each) for each in listed())
        course = in_course_order(listed())
        return Library(entries, course[0].name if course else "", FIRST, begun=False)
    from sim.debrief.proposals import prospect

    now = prospect()
    entries = tuple(
        LibraryEntry(
            each, done.score, done.passed, due=bool(now.again.intersection(each.skills))
        ) if (done := now.best.get(each.name)) is not None else LibraryEntry(each)
        for each in listed()
    )  # fmt: skip
    first = now.proposals[0] if now.proposals else None
    return Library(
        entries, first.scenario if first else "", first.why if first else NOTHING,
        begun=first is None or first.why != FIRST,
    )  # fmt: skip


def _any_record() -> bool:
    try:
        return any((home() / "records").glob("*.jsonl"))
    except (OSError, RecordError):  # no home, or none that may be read
        return False
