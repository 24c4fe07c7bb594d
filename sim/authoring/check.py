"""Proves a scenario before a class sees it, by running it.

The autopilot finishes the job on the sound machine without a warning; with the faults in, something
shows that anybody would report; by the allowed inspections the faults are told from every other
cause, but for those that the scenario declares alike; after the remedies the machine runs well
again. Of a lesson: every step can be reached from the one before, every step asks for something,
and whoever does as asked harms nothing.

What fails says where in the file that is decided, and what to do. Files are shared out over the
processors.
"""

import multiprocessing
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from typing import Final, TypeVar

from sim.authoring.check_advice import (
    ADVICE,
    ALIKE,
    ASKS,
    CURED,
    FINISHES,
    HARMLESS,
    HAS_IT,
    HIDES,
    REACHED,
    SEEN,
    SHOWS,
    TOLD,
    Place,
)
from sim.control.lamps import lit
from sim.diagnosis.dependency import NOTHING_WRONG
from sim.diagnosis.greedy import greedy
from sim.diagnosis.matrix_from_saw import matrix_for
from sim.diagnosis.tree import leaves, path
from sim.pilot.autopilot import again, as_found, whole_job
from sim.pilot.lesson_pilot import play_lesson
from sim.plant.harm.consequences import Severity
from sim.scenario.gate import load
from sim.scenario.scenario import Scenario
from sim.session import lockout
from sim.session.lesson import lesson_of
from sim.session.opening import read, session_for
from sim.session.session import Session

_PIECES: Final = 2  # enough after a remedy: the first index and the next
_SLOW: Final = 1.25  # by the sound machine's time, from which anybody would say it takes long
_MOST_PROCESSES: Final = 8
_MOST_TOLD: Final = 6  # names in a sentence
_STOPS_S: Final = 30.0  # longer than anything moves without power

Item = TypeVar("Item")
Result = TypeVar("Result")


@dataclass(frozen=True, slots=True)
class Verdict:
    """One thing that was to be proved."""

    claim: str  # one of those in `check_advice`
    holds: bool
    detail: str
    place: Place = ()  # in the file, if not that of the claim
    where: str = ""  # of one that fails: path:line:column
    what_to_do: str = ""  # of one that fails


@dataclass(frozen=True, slots=True)
class Report:
    """What came of one scenario."""

    name: str
    findings: tuple[Verdict, ...]

    @property
    def sound(self) -> bool:
        """Whether every claim holds."""
        return all(finding.holds for finding in self.findings)


def check(name_or_path: str) -> Report:
    """Return what could be proved of a scenario.

    Raises:
        ScenarioError: There is no such scenario, or its file is refused.
    """
    scenario, file = read(name_or_path)
    located = load(file)
    return Report(
        file.stem,
        tuple(
            finding
            if finding.holds
            else replace(
                finding,
                where=located.where_key(finding.place or ADVICE[finding.claim].place),
                what_to_do=ADVICE[finding.claim].what_to_do,
            )
            for finding in proved(scenario)
        ),
    )


def proved(scenario: Scenario) -> tuple[Verdict, ...]:
    """Return what could be proved of a scenario that was read before."""
    findings = list(_teaches(scenario)) if scenario.steps else [_job_finishes(scenario)]
    if scenario.mode in ("drill", "assessment") and not scenario.faults:
        findings.append(Verdict(HIDES, False, "there are no faults in it"))
    if scenario.faults:
        findings += [_has_it(scenario), _shows(scenario), *_isolates(scenario), _mends(scenario)]
    return tuple(findings)


def check_all(names: Sequence[str]) -> Iterator[Report]:
    """Yield the reports of scenarios in their order, as they come, from all processors.

    Raises:
        ScenarioError: There is no such scenario, or its file is refused.
    """
    return shared_out(check, names)


def shared_out(work: Callable[[Item], Result], items: Sequence[Item]) -> Iterator[Result]:
    """Yield what `work` makes of each item, in their order; with several items in processes."""
    processes = min(os.cpu_count() or 1, len(items), _MOST_PROCESSES)
    if processes < 2:
        yield from map(work, items)
        return
    with ProcessPoolExecutor(processes, multiprocessing.get_context("spawn")) as pool:
        yield from pool.map(work, items)


def _without_faults(scenario: Scenario) -> Scenario:
    return scenario.model_copy(update={"faults": ()})


def _job_finishes(scenario: Scenario) -> Verdict:
    session = session_for(_without_faults(scenario), nonce="")
    outcome = whole_job(session)
    fine = outcome.finished and not _trouble(session) and session.tally.good >= scenario.job.wanted
    detail = f"{session.tally.good} good of {scenario.job.wanted}, {session.now_s / 60:.1f} min"
    why = _trouble(session) or ("" if outcome.finished else " ".join(outcome.waits_for))
    return Verdict(FINISHES, fine, f"{detail}; {why or outcome.reason}" if not fine else detail)


def _teaches(scenario: Scenario) -> tuple[Verdict, ...]:
    session = session_for(scenario, nonce="")
    lesson = lesson_of(session)
    if lesson is None:
        return ()
    fine = play_lesson(session, lesson)
    done = f"{lesson.number} of {len(lesson.steps)} steps"
    stuck = f"{done}; step {lesson.number + 1} wants: {' '.join(map(str, lesson.wanting()))}"
    idle = ", ".join(str(number) for number in lesson.idle)
    trouble = _trouble(session)
    return (
        Verdict(
            REACHED, fine, f"{done}, {session.now_s / 60:.1f} min" if fine else stuck,
            ("steps", lesson.number, "goal"),
        ),
        Verdict(
            ASKS, not idle, f"step {idle} is done as soon as it is asked" if idle else "",
            ("steps", lesson.idle[0] - 1, "goal") if lesson.idle else (),
        ),
        Verdict(HARMLESS, not trouble, trouble),
    )  # fmt: skip


def _has_it(scenario: Scenario) -> Verdict:
    session = session_for(scenario, nonce="")
    there = {fault.name for fault in session.faults.still_wrong()}
    missing = [str(fault.title) for fault in session.hidden if fault.name not in there]
    return Verdict(HAS_IT, not missing, ", ".join(missing))


def _shows(scenario: Scenario) -> Verdict:
    wanted = scenario.job.wanted
    session = session_for(scenario, nonce="")
    outcome = as_found(session, wanted)
    sound = session_for(_without_faults(scenario), nonce="")
    as_found(sound, wanted)
    found = _trouble(session)
    if not found and not outcome.finished:
        waits = " ".join(outcome.waits_for) or outcome.reason or outcome.state
        found = f"the job stands: {waits}"
    found = found or _oddities(session, sound)
    return Verdict(SHOWS, bool(found), found)


def _oddities(session: Session, sound: Session) -> str:
    """Return what anybody would see of a run that came to its end without a warning."""
    pieces, off = session.tally.pieces, session.tally.pieces - session.tally.good
    lamps = [lamp.word for lamp in lit(session.saw.controller.image)]
    usual = [lamp.word for lamp in lit(sound.saw.controller.image)]
    odd = [f"the lamp {word} is lit" for word in lamps if word not in usual]
    if off:
        odd.append(f"{off} of {pieces} pieces off size")
    if pieces < sound.tally.pieces:
        odd.append(f"{pieces} pieces cut where {sound.tally.pieces} are counted")
    if session.now_s > _SLOW * sound.now_s:
        odd.append(f"it takes {session.now_s / sound.now_s:.1f} times as long")
    return ", ".join(odd)


def _isolates(scenario: Scenario) -> tuple[Verdict, ...]:
    cause = " + ".join(sorted(row.name for row in scenario.faults))
    matrix = matrix_for(scenario)
    if cause not in {row.name for row in matrix.causes}:
        return (Verdict(SEEN, False, "it changes nothing", ("faults",)),)
    plan = greedy(matrix)
    alike = next(group for group in leaves(plan) if cause in group)
    looks = path(plan, matrix, cause)
    own = {row.name for row in scenario.faults}
    allowed = own | set(scenario.ambiguous_with)
    others = [name for name in alike if name not in (cause, NOTHING_WRONG)]
    open_ = [name for name in others if not allowed.issuperset(name.split(" + "))]
    met = {part for name in others for part in name.split(" + ")}
    idle = [name for name in scenario.ambiguous_with if name not in met]
    last = f"{len(looks)} looks, the last of them {looks[-1].inspection}" if looks else "no look"
    return (
        Verdict(
            SEEN, NOTHING_WRONG not in alike,
            "a machine with nothing wrong looks the same" if NOTHING_WRONG in alike else last,
        ),
        Verdict(
            TOLD, not open_,
            f"alike: {_few(open_)}" if open_ else f"alike as declared: {', '.join(others)}"
            if others else f"from {len(matrix.causes) - 1} others",
        ),
        *([Verdict(ALIKE, False, ", ".join(idle))] if idle else []),
    )  # fmt: skip


def _few(names: Sequence[str]) -> str:
    more = len(names) - _MOST_TOLD
    return ", ".join(names[:_MOST_TOLD]) + (f" and {more} more" if more > 0 else "")


def _mends(scenario: Scenario) -> Verdict:
    session = session_for(scenario, nonce="")
    if not all(row.from_the_start for row in scenario.faults):
        as_found(session, scenario.job.wanted)
        if session.over:
            return Verdict(CURED, False, f"{_trouble(session)} before anybody could mend it")
        session.release("supply.isolator")
        session.advance(_STOPS_S)
    before = len(session.saw.consequences), session.tally.pieces, session.tally.good
    for fault in session.hidden:
        if fault.reaches_in:
            for step in lockout.STEPS:
                session.lock_out(step.name)
        session.put_right(fault.name)
    if session.lockout.locked:
        for step in lockout.BACK:
            session.lock_out(step.name)
    outcome = again(session, _PIECES)
    trouble = _trouble(session, before[0])
    pieces, good = session.tally.pieces - before[1], session.tally.good - before[2]
    fine = outcome.finished and not trouble and 0 < good == pieces
    detail = trouble or f"{good} of {pieces} pieces good, the job is {outcome.state.lower()}"
    return Verdict(CURED, fine, detail)


def _trouble(session: Session, since: int = 0) -> str:
    """Return the titles of what came to harm since there were so many consequences."""
    told = session.saw.consequences[since:]
    titles = [str(c.row.title) for c in told if c.row.severity is not Severity.NOTE]
    return ", ".join(dict.fromkeys(titles))
