"""Proves a scenario before a class sees it, by running it.

The autopilot finishes the job on the sound machine without a warning; with the faults in, something
shows; an allowed inspection tells the faulty machine from the sound one; after the remedies the
machine runs well again. Of a lesson: every step can be reached from the one before, every step
asks for something, and whoever does as asked harms nothing.

Imports `autopilot`, `lesson_pilot`, `opening` and `session`.
"""

from dataclasses import dataclass

from sim.drill import lockout
from sim.drill.autopilot import as_found, whole_job
from sim.drill.lesson import lesson_of
from sim.drill.lesson_pilot import play_lesson
from sim.drill.opening import read, revealing, session_for
from sim.drill.scenario import Scenario
from sim.drill.session import Session
from sim.plant.consequences import Severity

_PIECES = 2  # enough for a symptom: the first index and the next


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that was to be proved."""

    claim: str
    holds: bool
    detail: str


@dataclass(frozen=True, slots=True)
class Report:
    """What came of one scenario."""

    name: str
    findings: tuple[Finding, ...]

    @property
    def sound(self) -> bool:
        """Whether every claim holds."""
        return all(finding.holds for finding in self.findings)


def check(name_or_path: str) -> Report:
    """Return what could be proved of a scenario.

    Raises:
        ScenarioError: There is no such scenario, or its file is refused.
    """
    scenario, path = read(name_or_path)
    findings = list(_teaches(scenario)) if scenario.steps else [_job_finishes(scenario)]
    if scenario.faults:
        findings += [_shows(scenario), _isolates(scenario), _mends(scenario)]
    return Report(path.stem, tuple(findings))


def _without_faults(scenario: Scenario) -> Scenario:
    return scenario.model_copy(update={"faults": ()})


def _job_finishes(scenario: Scenario) -> Finding:
    session = session_for(_without_faults(scenario), nonce="")
    outcome = whole_job(session)
    fine = outcome.finished and not _trouble(session) and session.good >= scenario.job.wanted
    detail = f"{session.good} good of {scenario.job.wanted}, {session.now_s / 60:.1f} min"
    return Finding("the job finishes on the sound machine", fine, detail)


def _teaches(scenario: Scenario) -> tuple[Finding, ...]:
    session = session_for(scenario, nonce="")
    lesson = lesson_of(session)
    if lesson is None:
        return ()
    fine = play_lesson(session, lesson)
    done = f"{lesson.number} of {len(lesson.steps)} steps"
    stuck = f"{done}; step {lesson.number + 1} wants: {' '.join(lesson.wanting())}"
    idle = ", ".join(str(number) for number in lesson.idle)
    trouble = _trouble(session)
    return (
        Finding(
            "every step can be reached", fine,
            f"{done}, {session.now_s / 60:.1f} min" if fine else stuck,
        ),
        Finding(
            "every step asks for something", not idle,
            f"step {idle} is done as soon as it is asked" if idle else "",
        ),
        Finding("who does as asked harms nothing", not trouble, trouble),
    )  # fmt: skip


def _shows(scenario: Scenario) -> Finding:
    session = session_for(scenario, nonce="")
    outcome = as_found(session, _PIECES)
    trouble = _trouble(session)
    if trouble:
        return Finding("the fault shows", True, trouble)
    if not outcome.finished:
        waits = " ".join(outcome.waits_for) or outcome.reason or outcome.state
        return Finding("the fault shows", True, f"the job stands: {waits}")
    short = session.pieces - session.good
    return Finding("the fault shows", short > 0, f"{short} of {session.pieces} pieces off size")


def _isolates(scenario: Scenario) -> Finding:
    looks = revealing(scenario)
    return Finding("an inspection tells it", bool(looks), ", ".join(looks) or "none does")


def _mends(scenario: Scenario) -> Finding:
    session = session_for(scenario, nonce="")
    for fault in session.hidden:
        if fault.reaches_in:
            for step in lockout.STEPS:
                session.lock_out(step.name)
        session.put_right(fault.name)
    if session.lockout.locked:
        for step in lockout.BACK:
            session.lock_out(step.name)
    outcome = as_found(session, _PIECES)
    fine = outcome.finished and not _trouble(session) and session.good == session.pieces
    return Finding("after the remedy it runs well", fine, _trouble(session) or outcome.state)


def _trouble(session: Session) -> str:
    titles = [c.row.title for c in session.saw.consequences if c.row.severity is not Severity.NOTE]
    return ", ".join(dict.fromkeys(titles))
