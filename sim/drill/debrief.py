"""What a session was worth, and why: safety before everything, then cause, proof and care.

A critical act (hands in without lock-out, or a wreck) fails the drill whatever else was done.
Imports `session`.
"""

from dataclasses import dataclass
from typing import Final

from sim.drill.inspections import INSPECTIONS
from sim.drill.lesson import Lesson, lesson_of
from sim.drill.opening import revealing
from sim.drill.session import Event, Session
from sim.faults.catalogue import CATALOGUE
from sim.plant.consequences import Severity

PASS_MARK: Final = 60


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the score and its reason."""

    title: str
    points: int
    of: int
    reason: str


@dataclass(frozen=True, slots=True)
class Debrief:
    """Everything a debrief shows."""

    title: str
    score: int
    passed: bool
    parts: tuple[Part, ...]
    critical: tuple[str, ...]
    causes: tuple[str, ...]  # what was wrong, by plain names
    named: tuple[str, ...]
    still_wrong: tuple[str, ...]
    pieces: int
    good: int
    minutes: float  # simulated
    money: float
    timeline: tuple[Event, ...]
    teaches: str
    sound_path: tuple[str, ...]  # what a good operator would have done


def debrief(session: Session) -> Debrief:
    """Return the debrief of a session as it stands."""
    critical = tuple(
        [f"{what} (hands in the machine without lock-out)" for _, what in session.unsafe]
        + [c.sentence for c in session.saw.consequences if c.row.severity is Severity.STOP]
    )
    parts = _parts(session)
    total = sum(part.of for part in parts)
    score = 0 if critical else round(100 * sum(part.points for part in parts) / total)
    return Debrief(
        title=session.scenario.title,
        score=score,
        passed=not critical and score >= PASS_MARK and _taught(session),
        parts=parts,
        critical=critical,
        causes=tuple(fault.title for fault in session.hidden),
        named=tuple(CATALOGUE[name].title for name in session.named),
        still_wrong=tuple(fault.title for fault in session.still_wrong()),
        pieces=session.pieces,
        good=session.good,
        minutes=session.now_s / 60,
        money=sum(c.row.money for c in session.saw.consequences),
        timeline=tuple(session.events),
        teaches=session.scenario.teaches,
        sound_path=_sound_path(session),
    )


def _parts(session: Session) -> tuple[Part, ...]:
    lesson = lesson_of(session)
    if lesson is not None:
        return _lesson_parts(session, lesson)
    return _drill_parts(session) if session.hidden else _job_parts(session)


def _taught(session: Session) -> bool:
    """Whether the lesson, if there is one, was done to its end."""
    lesson = lesson_of(session)
    return lesson is None or lesson.done


def _lesson_parts(session: Session, lesson: Lesson) -> tuple[Part, ...]:
    steps, harm = len(lesson.steps), _harm(session)
    reason = f"{lesson.number} of {steps} steps done."
    if lesson.step is not None:
        reason += f" The next one: {lesson.step.ask}"
    return (
        Part("Steps", round(70 * lesson.number / steps), 70, reason),
        Part("Care", max(0, 30 - 10 * harm), 30, _harm_reason(harm)),
    )


def _sound_path(session: Session) -> tuple[str, ...]:
    """Return the shortest sound way: one look that shows the fault, name, remedy, proof."""
    if not session.hidden:
        return ()
    looks = revealing(session.scenario)
    best = min(looks, key=lambda name: INSPECTIONS[name].seconds, default=None)
    steps = [] if best is None else [f"Look: {INSPECTIONS[best].title}."]
    for fault in session.hidden:
        steps += [f"Name the cause: {fault.title}.", fault.remedy]
    return (*steps, "Run the job, and measure a good piece.")


def _drill_parts(session: Session) -> tuple[Part, ...]:
    hidden = [fault.name for fault in session.hidden]
    right = [name for name in hidden if name in session.named]
    wrong = [name for name in session.named if name not in hidden]
    idle = [name for name in session.mended if name not in hidden]
    mended = not session.still_wrong()
    proved = mended and session.proved_us is not None
    cause = round(50 * len(right) / len(hidden))
    care = max(0, 20 - 10 * len(wrong) - 10 * len(idle) - 5 * _harm(session))
    return (
        Part("Cause", cause, 50, _cause_reason(right, hidden, wrong)),
        Part(
            "Proof", 30 if proved else 10 if mended else 0, 30,
            "Put right, and proved with a good piece." if proved
            else "Put right, but not proved with a good piece." if mended
            else "The machine still has the fault.",
        ),
        Part("Care", care, 20, _care_reason(wrong, idle, _harm(session))),
    )  # fmt: skip


def _job_parts(session: Session) -> tuple[Part, ...]:
    wanted = session.scenario.job.wanted
    harm = _harm(session)
    return (
        Part(
            "Pieces", round(70 * min(session.good, wanted) / wanted), 70,
            f"{session.good} good of {wanted} wanted, {session.pieces} cut.",
        ),
        Part("Care", max(0, 30 - 10 * harm), 30, _harm_reason(harm)),
    )  # fmt: skip


def _harm_reason(harm: int) -> str:
    if not harm:
        return "No warning."
    return f"{harm} {'warning or damage' if harm == 1 else 'warnings or damages'}."


def _harm(session: Session) -> int:
    return sum(c.row.severity is not Severity.NOTE for c in session.saw.consequences)


def _cause_reason(right: list[str], hidden: list[str], wrong: list[str]) -> str:
    text = f"{len(right)} of {len(hidden)} causes named"
    return f"{text}, and {len(wrong)} that were not there." if wrong else f"{text}."


def _care_reason(wrong: list[str], idle: list[str], harm: int) -> str:
    counted = (
        (len(wrong), "wrong cause", "wrong causes"),
        (len(idle), "needless remedy", "needless remedies"),
        (harm, "warning or damage", "warnings or damages"),
    )
    said = [f"{n} {one if n == 1 else many}" for n, one, many in counted if n]
    return f"{', '.join(said)}." if said else "Nothing named, changed or harmed without need."
