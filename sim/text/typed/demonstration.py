"""The saw at work, told: a short job and a drill, done by the autopilot.

Between its own sentences stand the events of the two sessions and how the machine stands. How the drill
ends depends on what is found; the cause is looked for by the best plan (`authoring.search`).

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
from sim.session.lockout import YOU_ARE
from sim.session.opening import library_entries, read, session_for
from sim.session.session import Session
from sim.session.sights.describe import look
from sim.text.events import line_of
from sim.text.page import Printer
from sim.text.points import card
from sim.text.report import report
from sim.words.fields import authored, count, mm, number, parts
from sim.words.message import NOTHING, Message, plain, quoted, row

JOB: Final = "rail-posts"
PIECES: Final = 3


@dataclass(frozen=True, slots=True)
class Phase:
    """A part of the work and the sentence that goes before it."""

    says: Message
    does: Callable[[Session], object]


_JOB_PHASES: Final = (
    Phase(plain("demo.power", "Power, with nobody at the saw: the isolator, then reset, then control on."), autopilot.power_up),
    Phase(plain("demo.set-up", "Set-up: what differs from the card is set as the card says, in one's own control or locked out where hands go in, the head is raised, and the band speed is set with the band running."), autopilot.set_up),
    Phase(plain("demo.begin", "Begin: the mode switch is turned to PRODUCTION, the job is reset, and both palm keys start it."), autopilot.begin),
    Phase(plain("demo.run", "The job runs by itself."), autopilot.run),
)  # fmt: skip


_TITLE: Final = plain(
    "demo.title",
    "drycycle: a training saw that can be run wrong on purpose. A demonstration.",
)
_YOURSELF: Final = plain("demo.yourself", "To run it yourself: drycycle play --text rail-posts")
_JOB: Final = row(
    "demo.job", "A job: {title}, the first {some} of {all}.",
    title=authored(), some=count(), all=count(),
)  # fmt: skip
_LENGTH: Final = row("demo.length", "{length}", length=mm(2))
_DONE: Final = row(
    "demo.done",
    "{count} good piece of {all}: {lengths}; {minutes} simulated minutes.",
    plural="{count} good pieces of {all}: {lengths}; {minutes} simulated minutes.",
    count=count(), all=count(), lengths=parts(", "), minutes=number(1),
)  # fmt: skip
_DRILL: Final = row("demo.drill", "A drill: {title}.", title=authored())
_REPORT: Final = row("demo.report", "Report: {report}", report=authored())
_LEAVES: Final = row(
    "demo.leaves", "Of {count} cause in the catalogue, this leaves: {causes}.",
    plural="Of {count} causes in the catalogue, this leaves: {causes}.",
    count=count(), causes=parts(", "),
)  # fmt: skip
_NAME_IT: Final = plain("demo.name-it", "Name it.")
_PROVE_IT: Final = plain(
    "demo.prove-it", "Prove it: run the machine as it stands to one piece, and measure it."
)


def demonstrate(write: Callable[[str], None]) -> int:
    """Tell a job and a drill to their ends; return 0 when both ended well, else 1."""
    page = Printer(write)
    page.put(_TITLE, NOTHING)
    job_done = _job(page)
    page.put(NOTHING)
    drill_passed = _drill(page)
    page.put(NOTHING, _YOURSELF)
    return 0 if job_done and drill_passed else 1


# The job ----------------------------------------------------------------------------------


def _job(page: Printer) -> bool:
    scenario, _ = read(JOB)
    short = {"job": scenario.job.model_copy(update={"wanted": PIECES})}
    session = session_for(scenario.model_copy(update=short))
    page.put(_JOB(title=scenario.title, some=PIECES, all=scenario.job.wanted), NOTHING)
    page.put(*look(session), NOTHING, *card(session), NOTHING)
    for phase in _JOB_PHASES:
        _do(page, session, phase)
    session.close()
    lengths = tuple(_LENGTH(length=cut.length_m) for cut in session.saw.cuts if not cut.squaring)
    page.put(
        _DONE(count=session.tally.good, all=PIECES, lengths=lengths, minutes=session.now_s / 60)
    )
    return session.tally.good == PIECES


def _do(page: Printer, session: Session, phase: Phase) -> None:
    seen = len(session.heard.events)
    page.put(phase.says)
    if not session.over:
        phase.does(session)
    page.put(*map(line_of, session.heard.events[seen:]))


# The drill --------------------------------------------------------------------------------


def _drill(page: Printer) -> bool:
    scenario = next(each for _, each in library_entries() if each.mode == "drill")
    session = session_for(scenario)
    page.put(
        _DRILL(title=scenario.title),
        quoted(scenario.brief),
        _REPORT(report=scenario.report),
        YOU_ARE[scenario.role],
        NOTHING,
    )

    def tell(says: Message, act: Callable[[], object]) -> None:
        _do(page, session, Phase(says, lambda _session: act()))

    left = find_cause(session, tell)
    titles = tuple(cause_title(name) for name in left)
    page.put(_LEAVES(count=len(CATALOGUE), causes=titles))
    for name in faults_of(left[0]):
        tell(_NAME_IT, partial(session.diagnose, name))
        put_right(session, name, tell)
    tell(_PROVE_IT, partial(_prove, session))
    session.close()
    outcome = debrief(session)
    page.put(NOTHING, *report(outcome))
    return outcome.passed


def _prove(session: Session) -> None:
    autopilot.prove(session)
