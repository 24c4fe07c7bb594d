"""The saw at work, told: a short job and a drill, done by the autopilot.

The words between come from the sessions' own events and from what the machine is; how the drill
ends depends on what is found. The cause is looked for by the best plan, as `drill.search` does it.

Never here: rules of the saw.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Final

from sim.authoring.search import find_cause, put_right
from sim.debrief.debrief import debrief
from sim.debrief.evidence import cause_title
from sim.diagnosis.dependency import faults_of
from sim.faults.catalogue import CATALOGUE
from sim.pilot import autopilot
from sim.scenario import library
from sim.session.opening import read, session_for
from sim.session.session import Session
from sim.text.acts import told
from sim.text.describe import look
from sim.text.page import Page, counted
from sim.text.points import set_up_card
from sim.text.report import report
from sim.units import MM
from sim.words.message import Message

JOB: Final = "rail-posts"
PIECES: Final = 3


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
        f"{counted(session.tally.good, 'good piece')} of {PIECES}: {', '.join(lengths)}; "
        f"{session.now_s / 60:.1f} simulated minutes."
    )
    return session.tally.good == PIECES


def _do(page: Page, session: Session, phase: Phase) -> None:
    seen = len(session.heard.events)
    page.put(phase.says)
    if not session.over:
        phase.does(session)
    page.put(*(told(event) for event in session.heard.events[seen:]))


# The drill --------------------------------------------------------------------------------


def _drill(page: Page) -> bool:
    scenario = next(s for s in (read(name)[0] for name in library.names()) if s.mode == "drill")
    session = session_for(scenario)
    page.put(f"A drill: {scenario.title}.", scenario.brief, f"Report: {scenario.report}", "")

    def tell(says: str | Message, act: Callable[[], object]) -> None:
        _do(page, session, Phase(str(says), lambda _session: act()))

    left = find_cause(session, tell)
    titles = ", ".join(str(cause_title(name)) for name in left)
    page.put(f"Of {counted(len(CATALOGUE), 'cause')} in the catalogue, this leaves: {titles}.")
    for name in faults_of(left[0]):
        tell("Name it.", partial(session.diagnose, name))
        put_right(session, name, tell)
    tell("Prove it: run the machine as it stands to one piece.", partial(_prove, session))
    session.close()
    outcome = debrief(session)
    page.put("", *report(outcome))
    return outcome.passed


def _prove(session: Session) -> None:
    autopilot.again(session, 1)
