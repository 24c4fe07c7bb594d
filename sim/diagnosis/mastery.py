"""What a trainee should practise next, and why.

Skills come back when the SM-2 schedule says so; what went badly today comes first, then what is
longest overdue for its interval, then what was never tried, in the order of the course, then the
rest as it falls due. A skill is mastered when even the lower 95 % limit of the share of recent
passes is high; what knowledge tracing says is shown beside it. The same task done again on its day
is no further proof: only the first try at it counts for the share.

Never here: records, clocks, sentences on the screen.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from sim.diagnosis.knowledge import traced, wilson
from sim.diagnosis.spacing import PASSED, Item, schedule

MASTERED_SHARE: Final = 0.8  # that the lower limit must reach; assumed
RECENT: Final = 20  # attempts that count for the share: old failures are forgiven


class Standing(StrEnum):
    """How far a trainee has come with a skill."""

    NEW = "new"
    LEARNING = "learning"
    PASSING = "passing"  # the last attempts went well, too few of them to be sure
    MASTERED = "mastered"


class Reason(StrEnum):
    """Why a skill is due."""

    AGAIN_TODAY = "again today"
    OVERDUE = "overdue"
    DUE = "due"
    NEVER_TRIED = "never tried"
    LATER = "later"


@dataclass(frozen=True, slots=True)
class Attempt:
    """One scored try at a skill."""

    day: int  # a running number of days
    skill: str
    score: int  # 0 to 100
    failed: bool = False  # whatever the score: a critical act, say, or a lesson left undone
    task: str = ""  # what it was tried at; empty for one of its own


@dataclass(frozen=True, slots=True)
class Advice:
    """One skill: where it stands and when to practise it."""

    skill: str
    reason: Reason
    standing: Standing
    due_day: int  # today for what was never tried
    overdue_days: int
    attempts: int
    passes: int  # among the recent
    counted: int  # the recent that count for the share
    share: tuple[float, float]  # 95 % limits of the share of recent passes
    known: float  # by knowledge tracing
    item: Item


def practise_next(
    attempts: Iterable[Attempt], skills: Sequence[str], today: int
) -> tuple[Advice, ...]:
    """Return every skill, the one to practise next first.

    Args:
        attempts: What the records hold, in any order of days; of one day, in order.
        skills: All there are, in the order of the course.
        today: The day, counted as those of the attempts.
    """
    by_skill: dict[str, list[Attempt]] = {skill: [] for skill in skills}
    for attempt in sorted(attempts, key=lambda each: each.day):
        if attempt.skill in by_skill and attempt.day <= today:
            by_skill[attempt.skill].append(attempt)
    advice = [_advice(skill, tries, today) for skill, tries in by_skill.items()]
    return tuple(sorted(advice, key=_urgency))


def grade(score: int, *, failed: bool = False) -> int:
    """Return the grade of a score, 0 to 5: twenty points each, so that 60 passes.

    What was failed whatever its score gets no grade that passes.
    """
    return max(0, min(score // 20, PASSED - 1 if failed else 5))


def standing(successes: Sequence[bool]) -> Standing:
    """Return how far somebody has come who passed and failed in this order."""
    if not successes:
        return Standing.NEW
    recent = successes[-RECENT:]
    low, _ = wilson(sum(recent), len(recent))
    if low >= MASTERED_SHARE:
        return Standing.MASTERED
    return Standing.PASSING if all(recent[-3:]) and len(recent) >= 3 else Standing.LEARNING


def _advice(skill: str, tries: Sequence[Attempt], today: int) -> Advice:
    grades = [grade(each.score, failed=each.failed) for each in tries]
    successes = [grades[at] >= PASSED for at in _first_tries(tries)]
    recent = successes[-RECENT:]
    item = schedule([(each.day, mark) for each, mark in zip(tries, grades, strict=True)])
    due_day = item.due_day if item.due_day is not None else today
    return Advice(
        skill,
        _reason(item, tries, today),
        standing(successes),
        due_day,
        max(today - due_day, 0),
        len(tries),
        sum(recent),
        len(recent),
        wilson(sum(recent), len(recent)),
        traced(successes),
        item,
    )


def _first_tries(tries: Sequence[Attempt]) -> list[int]:
    """Return which tries are the first of their day at their task."""
    seen: set[tuple[int, str]] = set()
    first = []
    for at, each in enumerate(tries):
        if not each.task or (each.day, each.task) not in seen:
            first.append(at)
        seen.add((each.day, each.task))
    return first


def _reason(item: Item, tries: Sequence[Attempt], today: int) -> Reason:
    due_day = item.due_day
    if due_day is None:
        return Reason.NEVER_TRIED
    if item.again_today and tries[-1].day == today:
        return Reason.AGAIN_TODAY
    if due_day > today:
        return Reason.LATER
    return Reason.DUE if due_day == today else Reason.OVERDUE


_RANK: Final = {
    Reason.AGAIN_TODAY: 0,
    Reason.OVERDUE: 1,
    Reason.DUE: 2,
    Reason.NEVER_TRIED: 3,
    Reason.LATER: 4,
}


def _urgency(advice: Advice) -> tuple[int, float, int]:
    late = advice.overdue_days / max(advice.item.interval_days, 1)
    return _RANK[advice.reason], -late, advice.due_day
