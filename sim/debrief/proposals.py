"""What somebody goes on with: what was left, what is due again, what comes next on the path, and why.

The order is the same wherever it is told: on Home, after a debrief in the window, and by `drycycle next`.

Never here: the key or the command that leads there.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final

from sim.debrief.course import FIRST
from sim.debrief.played_on import played_on
from sim.debrief.progress import (
    AGAIN,
    Best,
    Due,
    best_of,
    done_in,
    due_by,
    open_lessons,
    records_folder,
)
from sim.diagnosis.mastery import Reason
from sim.diagnosis.mixing import mixed
from sim.errors import DrycycleError
from sim.records.reading import SessionRecord, read_record
from sim.records.running import is_running
from sim.session.shelf import listed
from sim.words.fields import part
from sim.words.message import Message, Row, plain, row

UP_NEXT: Final = 5  # scenarios that are proposed at a time
_LOOKED_AT: Final = 20  # records of others, at the most, that are newer than one's own

LEFT: Final = plain("next.why.left", "You left it before its end. It begins anew.")
ON_THE_PATH: Final = plain("next.why.path", "The next lesson on the path.")
_NEW: Final = row("next.why.new", "Not tried yet: {skill}.", skill=part())
_AGAIN: Final[dict[Reason, Row]] = {
    Reason.AGAIN_TODAY: row(
        "next.why.again-today", "Once more today: {skill}, which did not go well enough.", skill=part()
    ),
    Reason.OVERDUE: row("next.why.overdue", "Overdue to be practised again: {skill}.", skill=part()),
    Reason.DUE: row("next.why.due", "Due to be practised again: {skill}.", skill=part()),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Proposal:
    """A scenario to go on with."""

    scenario: str  # its name
    why: Message  # a sentence


@dataclass(frozen=True, slots=True)
class Prospect:
    """How somebody stands, by the records that are there."""

    best: dict[str, Best]  # of every scenario that was finished
    due: tuple[Due, ...]  # every skill, the most urgent first
    again: frozenset[str]  # skills to be practised again
    proposals: tuple[Proposal, ...]  # what to go on with, the first first


def prospect(
    folder: Path | None = None, who: str = "", today: date | None = None, most: int = UP_NEXT
) -> Prospect:
    """Return how somebody stands.

    Args:
        folder: Records to go by; None for this computer's record folder.
        who: Whose, by pseudonym; empty for those without one.
        today: The day; None for this computer's.
        most: Proposals, at the most.
    """
    place = folder or records_folder()
    sessions = [each for each in done_in(place) if each.who == who]
    rows, best = due_by(sessions, today), best_of(sessions)
    again = frozenset(each.advice.skill for each in rows if each.advice.reason in AGAIN)
    found = _in_order(left_unfinished(place, who), rows, best, most)
    return Prospect(best, rows, again, found)


def proposals(
    folder: Path | None = None, who: str = "", today: date | None = None, most: int = UP_NEXT
) -> tuple[Proposal, ...]:
    """Return what to go on with, the first first; arguments as for `prospect`."""
    return prospect(folder, who, today, most).proposals


def _in_order(
    left: str, rows: Sequence[Due], best: dict[str, Best], most: int
) -> tuple[Proposal, ...]:
    """Return what was left, what is due again, mixed, lessons not passed, and what was never tried."""
    skills = {each.name: frozenset(each.skills) for each in listed()}
    again = {each.scenario: each for each in reversed(rows) if each.advice.reason in AGAIN}
    first = [each.scenario for each in rows if again.get(each.scenario) is each and each.scenario]
    found = {left: LEFT} if left else {}
    for name in mixed([(name, skills[name]) for name in first[:most]]):
        due = again[name]
        found.setdefault(name, _AGAIN[due.advice.reason](skill=due.skill))
    for name in open_lessons(best):
        found.setdefault(name, ON_THE_PATH if found or best else FIRST)
    for due in rows:
        if due.scenario and due.advice.reason is Reason.NEVER_TRIED:
            found.setdefault(due.scenario, _NEW(skill=due.skill))
    return tuple(Proposal(name, why) for name, why in found.items())[:most]


def left_unfinished(folder: Path, who: str) -> str:
    """Return the scenario of somebody's newest session, where it was begun and never finished; else empty."""
    try:
        paths = sorted(folder.glob("*.jsonl"), key=lambda path: path.stat().st_mtime_ns)
    except OSError:  # no folder that can be read, or one that changes meanwhile
        return ""
    for path in reversed(paths[-_LOOKED_AT:]):
        try:
            record = read_record(path, allow_cut=True)
        except DrycycleError:
            continue
        if record.opening.who == who and not is_running(path, record):
            return _left(record)
    return ""


def _left(record: SessionRecord) -> str:
    closing = record.closing
    if closing is not None and closing.summary is not None:
        return ""
    on = played_on(record.opening)
    begun = any(True for _ in record.acts)
    return on.scenario if on.counts and begun else ""
