"""The saw at work, told: a short job and a drill, done by the autopilot.

The words between come from the sessions' own events and from what the machine is; how the drill
ends depends on what the autopilot finds. It finds the cause as a person would who knew the
machine well: it looks where sound machines and machines with one fault of the catalogue would
show different things, and keeps the causes that would show what is seen.

Never here: rules of the saw. Imports the other files of `text` and `drill`.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Final

from sim.drill import autopilot, library, lockout
from sim.drill.debrief import debrief
from sim.drill.inspections import INSPECTIONS, Inspection
from sim.drill.opening import read, session_for
from sim.drill.scenario import Fault, Scenario
from sim.drill.session import Session
from sim.faults.catalogue import CATALOGUE
from sim.text.acts import told
from sim.text.describe import look
from sim.text.page import Page, counted
from sim.text.points import set_up_card
from sim.text.report import report
from sim.units import MM

JOB: Final = "rail-posts"
PIECES: Final = 3
SOUND: Final = "nothing wrong"


@dataclass(frozen=True, slots=True)
class Phase:
    """A part of the work and the sentence that goes before it."""

    says: str
    does: Callable[[Session], object]


_JOB_PHASES: Final = (
    Phase("Power: the isolator, then control on, with a second hand on the two-hand key.", autopilot.power_up),
    Phase("Set-up: what differs from the card is set as the card says, the head is lifted, and the band speed is set with the band running.", autopilot.set_up),
    Phase("Begin: arm puts all stations in AUTO, and two hands begin the job.", autopilot.begin),
    Phase("The job runs by itself.", autopilot.run),
)  # fmt: skip


def demonstrate(write: Callable[[str], None]) -> int:
    """Tell a job and a drill to their ends; return 0 when both ended well, else 1."""
    page = Page(write)
    page.put("drycycle: a training saw that can be run wrong on purpose. A demonstration.", "")
    job_done = _job(page)
    page.put("")
    drill_passed = _drill(page)
    page.put("", "To run it yourself: drycycle play --text rail-posts")
    return 0 if job_done and drill_passed else 1


# The job ----------------------------------------------------------------------------------


def _job(page: Page) -> bool:
    scenario, _ = read(JOB)
    short = {"job": scenario.job.model_copy(update={"wanted": PIECES})}
    session = session_for(scenario.model_copy(update=short))
    page.put(f"A job: {scenario.title}, the first {PIECES} of {scenario.job.wanted}.", "")
    page.put(*look(session), "", set_up_card(session), "")
    for phase in _JOB_PHASES:
        _do(page, session, phase)
    session.close()
    lengths = [f"{c.length_m / MM:.2f} mm" for c in session.saw.cuts if not c.trim]
    page.put(
        f"{counted(session.good, 'good piece')} of {PIECES}: {', '.join(lengths)}; "
        f"{session.now_s / 60:.1f} simulated minutes."
    )
    return session.good == PIECES


def _do(page: Page, session: Session, phase: Phase) -> None:
    seen = len(session.events)
    page.put(phase.says)
    if not session.over:
        phase.does(session)
    page.put(*(told(event) for event in session.events[seen:]))


# The drill --------------------------------------------------------------------------------


def _drill(page: Page) -> bool:
    scenario = next(s for s in (read(name)[0] for name in library.names()) if s.mode == "drill")
    session = session_for(scenario)
    page.put(f"A drill: {scenario.title}.", scenario.brief, f"Report: {scenario.report}", "")
    suspects = find_cause(page, session)
    left = ", ".join(CATALOGUE[name].title if name else SOUND for name in suspects) or "none"
    page.put(f"Of {counted(len(CATALOGUE), 'cause')} in the catalogue, this leaves: {left}.")
    for name in filter(None, suspects[:1]):
        _do(page, session, Phase("Name it.", partial(Session.diagnose, name=name)))
        _put_right(page, session, name)
    _do(page, session, Phase("Prove it: run the machine as it stands to one piece.", _prove))
    session.close()
    outcome = debrief(session)
    page.put("", *report(outcome))
    return outcome.passed


def _prove(session: Session) -> None:
    autopilot.as_found(session, 1)


def _put_right(page: Page, session: Session, name: str) -> None:
    hands_in = CATALOGUE[name].reaches_in
    if hands_in:
        _do(page, session, Phase("Hands go in, so lock out first.", _steps(lockout.STEPS)))
    _do(page, session, Phase("Put it right.", partial(Session.put_right, name=name)))
    if hands_in:
        _do(page, session, Phase("Take the lock-out back.", _steps(lockout.BACK)))


def _steps(steps: tuple[lockout.Step, ...]) -> Callable[[Session], None]:
    def take(session: Session) -> None:
        for step in steps:
            session.lock_out(step.name)

    return take


def find_cause(page: Page, session: Session) -> tuple[str, ...]:
    """Look until one cause is left or nothing more can tell them apart.

    Returns:
        The names of the faults that would show what was seen, an empty one for a sound machine.
    """
    twins = {name: _with_fault(session.scenario, name) for name in ("", *CATALOGUE)}
    while len(twins) > 1 and (row := _telling(session.scenario, twins)) is not None:
        if row.reaches_in and not session.lockout.safe:
            lock = _steps(lockout.STEPS)
            _do(page, session, Phase("Hands go in to look, so lock out first.", lock))
            for twin in twins.values():
                lock(twin)
        _do(page, session, Phase(f"Look: {row.title}.", partial(Session.inspect, name=row.name)))
        seen = session.findings[-1][2]
        twins = {name: twin for name, twin in twins.items() if twin.inspect(row.name).text == seen}
    if session.lockout.locked:
        _do(page, session, Phase("Take the lock-out back.", _steps(lockout.BACK)))
    return tuple(twins)


def _with_fault(scenario: Scenario, name: str) -> Session:
    """Return the same machine with one fault, or with none for an empty name."""
    faults = (Fault(name=name),) if name else ()
    return session_for(scenario.model_copy(update={"faults": faults}), nonce="")


def _telling(scenario: Scenario, twins: dict[str, Session]) -> Inspection | None:
    """Return the cheapest allowed look that tells any of the causes that are left apart."""
    allowed = INSPECTIONS if scenario.inspections == "all" else scenario.inspections
    # A function test would work the twins it is tried on; looks that leave them alone are enough here.
    rows = [INSPECTIONS[n] for n in allowed if n in INSPECTIONS and not INSPECTIONS[n].acts_s]
    telling = [row for row in rows if len({row.look(twin.saw) for twin in twins.values()}) > 1]
    return min(telling, key=lambda row: (row.reaches_in, row.seconds), default=None)
