"""What a session is worth, part by part, each with its reason.

Safety stands before the parts: a critical act fails the session whatever they say. Then the right
cause, told apart before it was named; then the proof on the machine; then the cost of the way to
the cause against the best way; then care. Hints take points off. What was expected of looks, and
which looks could tell nothing, is told apart from the score.

The weights are this program's own choice.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from sim.debrief.best_path import WaysToCause
from sim.debrief.evidence import Evidence, Naming
from sim.faults.catalogue import CATALOGUE
from sim.plant.harm.consequences import Severity
from sim.session.lesson import Lesson, lesson_of
from sim.session.session import Session

CAUSE, PROOF, WAY, CARE = 50, 20, 20, 10  # points of a drill
PIECES, JOB_CARE = 70, 30  # points of a job with nothing hidden, and of a lesson
WRONG_CAUSE: Final = 10  # points off, each
NEEDLESS: Final = 5
HARM: Final = 3
JOB_HARM: Final = 10
HINT: Final = 5
_MENDED_ONLY: Final = 5  # of PROOF, where no good piece followed


@dataclass(frozen=True, slots=True)
class ScorePart:
    """One part of the score and its reason."""

    title: str
    points: int
    of: int
    reason: str


def score_of(parts: Sequence[ScorePart], critical: Sequence[str]) -> int:
    """Return the score, 0 to 100; 0 with a critical act."""
    if critical:
        return 0
    return min(max(round(100 * sum(p.points for p in parts) / sum(p.of for p in parts)), 0), 100)


def critical_acts(session: Session) -> tuple[str, ...]:
    """Return what fails the session whatever else was done, a sentence each."""
    return tuple(
        [f"{what} (hands in the machine without lock-out)" for _, what in session.unsafe]
        + [row.text for row in session.meddled if not row.allowed]
        + [c.sentence for c in session.saw.consequences if c.row.severity is Severity.STOP]
    )


def parts_of(session: Session, known: Evidence, ways: WaysToCause) -> tuple[ScorePart, ...]:
    """Return the parts of the score; hints come last, when there were any."""
    lesson = lesson_of(session)
    if lesson is not None:
        parts = _lesson(session, lesson)
    else:
        parts = _drill(session, known, ways) if session.hidden else _job(session)
    given = len(session.hints)
    if given:
        reason = f"{given} hint{'s' if given > 1 else ''}, {HINT} points each."
        parts = (*parts, ScorePart("Hints", -HINT * given, 0, reason))
    return parts


def taught(session: Session) -> bool:
    """Return whether the lesson, if there is one, was done to its end."""
    lesson = lesson_of(session)
    return lesson is None or lesson.done


def _lesson(session: Session, lesson: Lesson) -> tuple[ScorePart, ...]:
    steps, harm = len(lesson.steps), harm_of(session)
    reason = f"{lesson.number} of {steps} steps done."
    if lesson.step is not None:
        reason += f" The next one: {lesson.step.ask}"
    return (
        ScorePart("Steps", round(PIECES * lesson.number / steps), PIECES, reason),
        ScorePart("Care", max(0, JOB_CARE - JOB_HARM * harm), JOB_CARE, _harm_reason(harm)),
    )


def _drill(session: Session, known: Evidence, ways: WaysToCause) -> tuple[ScorePart, ...]:
    first = _first_namings(session, known)
    return (_cause(session, first), _proof(session), _way(session, first, ways), _care(session))


def _first_namings(session: Session, known: Evidence) -> dict[str, float]:
    """Return, for each hidden cause that was named, what its first naming was worth, 0 to 1.

    Told apart from all that could be told apart it is worth 1, before that what was known of it
    beyond a blind guess.
    """
    weighed: dict[str, Naming] = {}
    for naming in known.namings:
        weighed.setdefault(naming.fault, naming)
    hidden = [fault.name for fault in session.hidden if fault.name in session.named]
    return {name: weighed[name].worth if name in weighed else 1.0 for name in hidden}


def _cause(session: Session, first: dict[str, float]) -> ScorePart:
    hidden = len(session.hidden)
    ever = {culprit.fault.name for culprit in session.faults.culprits}
    wrong = [name for name in dict.fromkeys(session.named) if name not in ever]
    points = round(CAUSE * sum(first.values()) / hidden) - WRONG_CAUSE * len(wrong)
    said = [f"{len(first)} of {hidden} causes named"]
    early = sum(worth < 1.0 for worth in first.values())
    if early:
        said.append(f"{early} before it was told from the others")
    if wrong:
        said.append(f"{len(wrong)} named that {'was' if len(wrong) == 1 else 'were'} not there")
    late = [fault for fault in session.faults.counted if fault.set_in_us is None]
    if late:
        said.append(f"{len(late)} had yet to set in")
    return ScorePart("Cause", max(points, 0), CAUSE, f"{', '.join(said)}.")


def _proof(session: Session) -> ScorePart:
    mended = not session.still_wrong()
    proved = mended and session.proved_us is not None
    return ScorePart(
        "Proof", PROOF if proved else _MENDED_ONLY if mended else 0, PROOF,
        "Put right, and proved with a good piece." if proved
        else "Put right, but not proved with a good piece." if mended
        else "The machine still has the fault.",
    )  # fmt: skip


def _way(session: Session, first: dict[str, float], ways: WaysToCause) -> ScorePart:
    title = "Way to the cause"
    if not first:
        return ScorePart(title, 0, WAY, "No hidden cause was named.")
    if not ways.taken_s > 0.0:
        return ScorePart(title, 0, WAY, "Named without a look or a trial.")
    share = min(1.0, ways.best_s / ways.taken_s) if ways.best else 1.0
    worth = sum(first.values()) / len(session.hidden)
    plan = "the best plan takes" if ways.exact else "a good plan takes"
    told_apart = all(each >= 1.0 for each in first.values())
    less = ", cheaper than planned" if told_apart and ways.taken_s < ways.best_s else ""
    reason = f"Looks and trials took {ways.taken_s:.0f} s{less}; {plan} {ways.best_s:.0f} s."
    if not told_apart:
        reason += " A cause was named before it was told from the others."
    return ScorePart(title, round(WAY * share * worth), WAY, reason)


def _care(session: Session) -> ScorePart:
    ever = {culprit.fault.name for culprit in session.faults.culprits}
    idle = sum(name not in ever for name in session.mended)
    harm = harm_of(session)
    counted = (
        (idle, "needless remedy", "needless remedies"),
        (harm, "warning or damage", "warnings or damages"),
    )
    said = [f"{n} {one if n == 1 else many}" for n, one, many in counted if n]
    reason = f"{', '.join(said)}." if said else "Nothing changed or harmed without need."
    return ScorePart("Care", max(CARE - NEEDLESS * idle - HARM * harm, 0), CARE, reason)


def _job(session: Session) -> tuple[ScorePart, ...]:
    wanted, harm = session.scenario.job.wanted, harm_of(session)
    return (
        ScorePart(
            "Pieces", round(PIECES * min(session.good, wanted) / wanted), PIECES,
            f"{session.good} good of {wanted} wanted, {session.pieces} cut.",
        ),
        ScorePart("Care", max(0, JOB_CARE - JOB_HARM * harm), JOB_CARE, _harm_reason(harm)),
    )  # fmt: skip


def _harm_reason(harm: int) -> str:
    if not harm:
        return "No warning."
    return f"{harm} {'warning or damage' if harm == 1 else 'warnings or damages'}."


def harm_of(session: Session) -> int:
    """Return how many warnings and damages there were."""
    return sum(c.row.severity is not Severity.NOTE for c in session.saw.consequences)


def fault_titles(names: Sequence[str]) -> tuple[str, ...]:
    """Return the plain names of faults."""
    return tuple(CATALOGUE[name].title for name in names)
