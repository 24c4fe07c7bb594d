"""What the records on this computer say of somebody's practice, and which skill is due.

Skills are the words of the scenarios' `skills`, in the order of the course. The schedule and the
measure of mastery are in `diagnosis.mastery`; what is gone on with is `debrief.proposals`.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Final

from sim.debrief.copies import Known, copies_in
from sim.debrief.course import ease_of, in_course_order
from sim.debrief.played_on import played_on
from sim.diagnosis.mastery import Advice, Attempt, Reason, Standing, practise_next
from sim.errors import DrycycleError
from sim.records.folder import home
from sim.records.folder import today as today_here
from sim.records.reading import read_record
from sim.session.shelf import Listed, listed
from sim.words.message import Message, plain, quoted

PASS_MARK: Final = 60  # of 100
AGAIN: Final = (Reason.AGAIN_TODAY, Reason.OVERDUE, Reason.DUE)
_HIDES: Final = ("drill", "assessment")


@dataclass(frozen=True, slots=True)
class Done:
    """One finished session, as its record's closing line tells it."""

    day: date
    scenario: str  # name of one that ships; empty for a file or a saw of somebody's own
    who: str
    score: int
    passed: bool  # as the debrief has it, which asks for more than points
    practice: bool = (
        False  # with a hint, something taken back, or the answer known: it proves no skill
    )


_REASONS: Final = {
    Reason.AGAIN_TODAY: plain("next.reason.again-today", "again today"),
    Reason.OVERDUE: plain("next.reason.overdue", "overdue"),
    Reason.DUE: plain("next.reason.due", "due"),
    Reason.NEVER_TRIED: plain("next.reason.never-tried", "never tried"),
    Reason.LATER: plain("next.reason.later", "later"),
}
_STANDINGS: Final = {
    Standing.NEW: plain("next.standing.new", "new"),
    Standing.LEARNING: plain("next.standing.learning", "learning"),
    Standing.PASSING: plain("next.standing.passing", "passing"),
    Standing.MASTERED: plain("next.standing.mastered", "mastered"),
}


@dataclass(frozen=True, slots=True)
class Due:
    """One skill, and a scenario to practise it with."""

    advice: Advice
    scenario: str  # name; empty when nothing that ships trains it
    practised: int = (
        0  # sessions that proved nothing: with a hint, something taken back, or the answer known
    )

    @property
    def skill(self) -> Message:
        """The skill, as the scenarios' author calls it."""
        return quoted(self.advice.skill)

    @property
    def why(self) -> Message:
        """Why it is due, a word or two."""
        return _REASONS[self.advice.reason]

    @property
    def standing(self) -> Message:
        """How far the trainee has come with it, a word."""
        return _STANDINGS[self.advice.standing]


def records_folder() -> Path:
    """Return where records are written when nobody names another place."""
    return home() / "records"


def done_in(folder: Path) -> tuple[Done, ...]:
    """Return the finished sessions of a folder, oldest first, each once; what cannot be read is left out."""
    try:
        paths = sorted(folder.glob("*.jsonl"))
    except OSError:  # no folder that can be read
        paths = []
    found = [done for path in paths for done in _done(path)]
    copies = copies_in(known for known, _ in found)
    counted = [done for known, done in found if known.name not in copies]
    return tuple(sorted(counted, key=lambda each: each.day))


def _done(path: Path) -> Iterator[tuple[Known, Done]]:
    try:
        record = read_record(path)
        opening, closing = record.opening, record.closing
        day = date.fromisoformat(opening.day)
    except (DrycycleError, ValueError):
        return
    if closing is not None and closing.summary is not None:
        worth = closing.summary
        on = played_on(opening)
        helped = worth.outcome == "practised" or (worth.passed and worth.hints > 0)
        done = Done(
            day, on.scenario if on.counts else "", opening.who, worth.score, worth.passed, helped
        )
        yield Known.of(record, path.name), done


def due(folder: Path | None = None, who: str = "", today: date | None = None) -> tuple[Due, ...]:
    """Return every skill, the one to practise next first, each with a scenario for it.

    Args:
        folder: Records to go by; None for this computer's record folder.
        who: Whose, by pseudonym; empty for those without one.
        today: The day; None for this computer's.
    """
    return due_by(_done_by(folder, who), today)


def due_by(sessions: Iterable[Done], today: date | None = None) -> tuple[Due, ...]:
    """Return what `due` does, by finished sessions of one person that were read before."""
    now = today if today is not None else date.fromisoformat(today_here())
    known = {each.name: each for each in listed()}
    skills = dict.fromkeys(s for sc in in_course_order(known.values()) for s in sc.skills)
    done = [each for each in sessions if each.scenario in known]
    attempts = [
        Attempt(each.day.toordinal(), skill, each.score, not each.passed, each.scenario)
        for each in done
        if not each.practice
        for skill in known[each.scenario].skills
    ]
    advice = practise_next(attempts, tuple(skills), now.toordinal())
    shown = {each.scenario for each in done if known[each.scenario].mode in _HIDES}
    practised = Counter(
        skill for each in done if each.practice for skill in known[each.scenario].skills
    )
    ahead = frozenset(open_lessons(best_of(done))[1:])
    return tuple(
        replace(_with_scenario(each, known, shown, ahead), practised=practised[each.skill])
        for each in advice
    )


def _done_by(folder: Path | None, who: str) -> list[Done]:
    return [each for each in done_in(folder or records_folder()) if each.who == who]


@dataclass(frozen=True, slots=True)
class Best:
    """How well somebody has done a scenario so far."""

    score: int  # the best
    passed: bool  # ever


def best_of(sessions: Iterable[Done]) -> dict[str, Best]:
    """Return how well somebody did each scenario, by its name, in the sessions that they finished."""
    best: dict[str, Best] = {}
    for each in sessions:
        so_far = best.get(each.scenario, Best(0, passed=False))
        best[each.scenario] = Best(max(so_far.score, each.score), so_far.passed or each.passed)
    return best


def open_lessons(best: Mapping[str, Best]) -> list[str]:
    """Return the lessons that were never passed, in the order of the course."""
    lessons = [each.name for each in in_course_order(listed()) if each.mode == "lesson"]
    return [name for name in lessons if name not in best or not best[name].passed]


def _with_scenario(
    advice: Advice, known: Mapping[str, Listed], shown: Set[str], ahead: Set[str]
) -> Due:
    """Return the easiest scenario for the skill that is not below what is mastered already.

    One whose answer was shown is proposed only where there is no other: it would be practice. What was tried
    before is not practised again with a lesson that lies further ahead on the path.
    """
    fitting = [(name, sc) for name, sc in known.items() if advice.skill in sc.skills]
    if advice.attempts:
        fitting = [each for each in fitting if each[0] not in ahead] or fitting
    fitting.sort(key=lambda each: ease_of(each[1]))
    if not fitting:
        return Due(advice, "")
    place = min(advice.passes, len(fitting) - 1)
    names = [name for name, _ in (*fitting[place:], *reversed(fitting[:place]))]
    return Due(advice, next((name for name in names if name not in shown), names[0]))
