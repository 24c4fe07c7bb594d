"""The scenarios on the home page, each with what the records on this computer say of it.

The first frame waits for this, so without records nothing is loaded to read them.
"""

from dataclasses import dataclass

from sim.errors import RecordError
from sim.records.folder import home
from sim.session.shelf import Listed, listed


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


def read_entries() -> list[LibraryEntry]:
    """Return every scenario that ships, with what the records say of it."""
    if not _any_record():
        return [LibraryEntry(each) for each in listed()]
    from sim.debrief.progress import best_of, due_skills

    best, again = best_of(""), due_skills()
    return [
        LibraryEntry(
            each, done.score, done.passed, due=bool(again.intersection(each.skills))
        ) if (done := best.get(each.name)) is not None else LibraryEntry(each)
        for each in listed()
    ]  # fmt: skip


def _any_record() -> bool:
    try:
        return any((home() / "records").glob("*.jsonl"))
    except (OSError, RecordError):  # no home, or none that may be read
        return False
