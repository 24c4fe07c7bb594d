"""What a round at the start of the shift was worth: what was found, what was said of it, what was started.

A finding is found when it was reported, or put right. It is judged right when what it was said to call for
is what the scenario has it call for, and what was said to be put right is. Judged milder, it was wrongly
cleared. Whoever misses or clears what stops the shift does not pass, and to start the job with it in the saw
is a critical act.

Never here: what is drawn, and what is reported (see `session.morning`).
"""

from dataclasses import dataclass
from typing import Final

from sim.session.morning import CLASSES, FIT, GOES_ON, ORDER, STOPS, Amiss, Morning
from sim.session.session import Session
from sim.words.fields import count, number, part, parts
from sim.words.message import NOTHING, Message, plain, row, sentences

FOUND, JUDGED = 40, 30  # points; the weights are this program's own choice
NOT_THERE: Final = 10  # points off, each, for what was reported and is not there

FOUND_TITLE: Final = plain("score.part.found", "Findings")
JUDGED_TITLE: Final = plain("score.part.judged", "Judgement")
_FOUND: Final = row(
    "score.round.found", "{found} of {count} finding found.",
    plural="{found} of {count} findings found.", count=count(), found=number(),
)  # fmt: skip
_THERE: Final = row("score.round.there", "Found: {titles}.", titles=parts("; "))
_MISSED: Final = row("score.round.missed", "Missed: {titles}.", titles=parts("; "))
_INVENTED: Final = row(
    "score.round.not-there", "Reported, and not there: {titles}.", titles=parts("; ")
)
_RIGHT: Final = row(
    "score.round.right", "{right} of {count} judged right.", right=number(), count=number()
)
_CLEARED: Final = row("score.round.cleared", "Wrongly cleared: {titles}.", titles=parts("; "))
_UNWRITTEN: Final = row(
    "score.round.unwritten", "Put right, and not reported as what it was: {titles}.",
    titles=parts("; "),
)  # fmt: skip
_TOO_HARD: Final = row(
    "score.round.too-hard", "Judged graver than it is: {titles}.", titles=parts("; ")
)
_IS: Final = row("score.round.is", "{title} ({calls_for})", title=part(), calls_for=part())
_LET_PASS: Final = row(
    "verdict.let-pass",
    "What stops the shift was missed or cleared, and nothing makes up for that: {titles}.",
    titles=parts("; "),
)  # fmt: skip
STARTED: Final = row(
    "score.critical.started", "The job was started, although this stops the shift: {title}",
    title=part(),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Judged:
    """What came of one round."""

    found: tuple[Amiss, ...]
    missed: tuple[Amiss, ...]
    right: tuple[Amiss, ...]
    cleared: tuple[Amiss, ...]  # said to call for less than it does, and still there
    unwritten: tuple[Amiss, ...]  # what stops the shift, put right and not reported as that
    too_hard: tuple[Amiss, ...]

    @property
    def of(self) -> int:
        """How many findings there were."""
        return len(self.found) + len(self.missed)

    @property
    def let_pass(self) -> tuple[Amiss, ...]:
        """What stops the shift, and was missed or cleared."""
        return tuple(each for each in (*self.missed, *self.cleared) if each.calls_for == STOPS)


def judged(morning: Morning) -> Judged:
    """Return what came of a round, as far as it has come."""
    found = tuple(each for each in morning.found if _said(morning, each))
    graded = [(each, _grade(morning, each)) for each in found]
    return Judged(
        found=found,
        missed=tuple(each for each in morning.found if each not in found),
        right=tuple(each for each, grade in graded if grade == 0),
        cleared=tuple(e for e, grade in graded if grade < 0 and morning.still_there(e)),
        unwritten=tuple(e for e, grade in graded if grade < 0 and not morning.still_there(e)),
        too_hard=tuple(each for each, grade in graded if grade > 0),
    )


def _said(morning: Morning, finding: Amiss) -> str:
    """Return what was said that a finding calls for; empty where it was missed."""
    said = morning.said_of(finding)
    return said or ("" if morning.still_there(finding) else FIT)


def _grade(morning: Morning, finding: Amiss) -> int:
    """Return by how much a finding was judged too grave; below 0 it was cleared wrongly."""
    said = _said(morning, finding)
    if said == FIT and morning.still_there(finding):
        return -1
    if said == FIT and finding.calls_for == GOES_ON:
        return 0  # who mended it did more than was asked
    return ORDER.index(said) - ORDER.index(finding.calls_for)


def _titles(findings: tuple[Amiss, ...]) -> tuple[Message, ...]:
    return tuple(
        _IS(title=each.fault.title, calls_for=CLASSES[each.calls_for]) for each in findings
    )


def points_of(session: Session) -> tuple[tuple[int, Message], tuple[int, Message]]:
    """Return points and reason for what was found, and for what was said of it."""
    done, not_there = judged(session.morning), session.morning.not_there
    of = max(done.of, 1)
    found = [_FOUND(count=done.of, found=len(done.found))]
    if done.found:
        found.append(_THERE(titles=_titles(done.found)))
    if done.missed:
        found.append(_MISSED(titles=_titles(done.missed)))
    if not_there:
        found.append(_INVENTED(titles=tuple(fault.title for fault in not_there.values())))
    points = round(FOUND * len(done.found) / of) - NOT_THERE * len(not_there)
    right = [_RIGHT(right=len(done.right), count=done.of)]
    if done.cleared:
        right.append(_CLEARED(titles=_titles(done.cleared)))
    if done.unwritten:
        right.append(_UNWRITTEN(titles=_titles(done.unwritten)))
    if done.too_hard:
        right.append(_TOO_HARD(titles=_titles(done.too_hard)))
    return (
        (max(points, 0), sentences(*found)),
        (round(JUDGED * len(done.right) / of), sentences(*right)),
    )


def started(session: Session) -> tuple[Message, ...]:
    """Return what stopped the shift and was there as the job was started."""
    return tuple(STARTED(title=fault.title) for fault in session.morning.started_with.values())


def let_pass(session: Session) -> Message:
    """Return which of what stops the shift was missed or cleared; nothing where none was."""
    passed = judged(session.morning).let_pass
    return _LET_PASS(titles=tuple(each.fault.title for each in passed)) if passed else NOTHING
