"""Eleven technicians at a drill each, and what a master who watched them would give.

Written before the score was: the marks are a judgement, and the score is held to them. Each says in
a sentence why. A transcript goes through the session's verbs, as a person's acts would.

The marks are 40 for the cause, 20 for the proof, 30 for the way, 10 for care. Common practice, no
source: a repair counts when it is proved, a look counts when it divides what is still possible.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.authoring.search import put_right
from sim.debrief.hints import hint
from sim.pilot.autopilot import power_up, prove, raise_head
from sim.pilot.careful import careful
from sim.session.hands.table import to_look
from sim.session.inspections import find
from sim.session.session import Session

PASSED, FOUND, PRACTISED, NOT_PASSED = "passed", "found", "practised", "not passed"
"""Found: the right cause was told apart and named, and the saw was not proved to be mended. Practised:
with hints."""

Marks = tuple[int, int]  # least and most


@dataclass(frozen=True, slots=True)
class Technician:
    """One person at one drill."""

    name: str
    drill: str
    why: str  # these marks and no others
    works: Callable[[Session], None]
    outcome: str
    cause: Marks
    proof: Marks
    way: Marks
    care: Marks


def look(session: Session, *names: str) -> None:
    """Look, with what must hold for it."""
    for name in names:
        row = find(name)
        assert row is not None, name
        with careful(session, to_look(row)):
            session.inspect(name)


def mend(session: Session, *names: str) -> None:
    """Name and put right, with what must hold for it."""
    for name in names:
        session.diagnose(name)
    for name in names:
        put_right(session, name)


def _skilled(session: Session) -> None:
    look(session, "length-stop", "stop-play")
    mend(session, "stop-from-below")
    prove(session)


def _one_look_and_home(session: Session) -> None:
    look(session, "wash-hose")
    session.diagnose("wash-hose-open")


def _reads_the_report(session: Session) -> None:
    mend(session, "stop-from-below")
    prove(session)


def _asks_before_every_look(session: Session) -> None:
    hint(session)
    look(session, "length-stop")
    hint(session)
    look(session, "stop-play")
    hint(session)
    mend(session, "stop-from-below")
    prove(session)


def _does_nothing(session: Session) -> None:
    session.advance(600)


def _watches(session: Session) -> None:
    """Sends the shuttle back and forward by hand, sees it stand, and meters its valve: the coil, then the wire."""
    power_up(session)
    raise_head(session)
    for key in ("shuttle.back", "shuttle.forward"):
        session.press(key)
        session.advance(8)
        session.release(key)
        session.advance(1)
    look(session, "ohms Y21:1 Y21:2", "ohms X3:10 Y21:1")
    mend(session, "forward-coil-wire")
    prove(session)


def _changes_parts(session: Session) -> None:
    for name in ("cutting-jaws-oily", "guides-worn", "band-worn", "shuttle-clamping-low"):
        put_right(session, name)
    prove(session)


def _looks_at_everything(session: Session) -> None:
    allowed = session.scenario.inspections
    assert allowed != "all"
    look(session, *allowed)
    mend(session, "stop-from-below")
    prove(session)


def _does_not_prove(session: Session) -> None:
    look(session, "length-stop", "stop-play")
    mend(session, "stop-from-below")


def _reaches_in(session: Session) -> None:
    power_up(session)
    session.press("job.start")
    session.diagnose("stop-from-below")
    session.inspect("stop-play")
    session.put_right("cutting-jaws-oily")
    if not session.over:
        prove(session)


def _two_at_once(session: Session) -> None:
    look(session, "clamping-valves", "cutting-jaws")
    mend(session, "shuttle-clamping-low", "cutting-jaws-oily")
    prove(session)


TECHNICIANS: Final = (
    Technician(
        "the skilled one", "posts-come-out-short",
        "All alike and all short points at the length stop: he reads it, pulls at it, mends and proves.",
        _skilled, PASSED, (40, 40), (20, 20), (28, 30), (10, 10),
    ),
    Technician(
        "one look and home", "floor-is-wet",
        "The right cause, told apart by a look that the report suggests; the hose still runs.",
        _one_look_and_home, FOUND, (40, 40), (0, 0), (28, 30), (0, 0),
    ),
    Technician(
        "reads the report", "posts-come-out-short",
        "Named before anything was seen: the report leaves several, and luck is no skill.",
        _reads_the_report, NOT_PASSED, (0, 10), (20, 20), (0, 0), (0, 10),
    ),
    Technician(
        "asks before every look", "posts-come-out-short",
        "Whoever is told where to look has practised; it says nothing of what he can do.",
        _asks_before_every_look, PRACTISED, (0, 40), (20, 20), (0, 30), (0, 10),
    ),
    Technician(
        "does nothing", "posts-come-out-short",
        "Nothing done is nothing earned, care included.",
        _does_nothing, NOT_PASSED, (0, 0), (0, 0), (0, 0), (0, 0),
    ),
    Technician(
        "watches", "goes-back-and-stays-there",
        "What stood and what was lit is evidence like any look.",
        _watches, PASSED, (40, 40), (20, 20), (24, 30), (10, 10),
    ),
    Technician(
        "changes parts", "loose-at-both-ends",
        "Three sound parts changed and nothing named: dear, and nobody knows what it was.",
        _changes_parts, NOT_PASSED, (0, 0), (0, 20), (0, 0), (0, 0),
    ),
    Technician(
        "looks at everything", "posts-come-out-short",
        "Sound, safe and proved; but thirteen looks where two would do earn nothing for the way.",
        _looks_at_everything, PASSED, (40, 40), (20, 20), (0, 0), (10, 10),
    ),
    Technician(
        "does not prove", "posts-come-out-short",
        "Mended, as he believes; a repair that nobody tried is a guess.",
        _does_not_prove, FOUND, (40, 40), (0, 5), (28, 30), (10, 10),
    ),
    Technician(
        "reaches in", "posts-come-out-short",
        "A hand where the saw can move fails whatever else is right.",
        _reaches_in, NOT_PASSED, (0, 40), (0, 20), (0, 30), (0, 0),
    ),
    Technician(
        "two at once", "loose-at-both-ends",
        "Lengths and faces point at both vises: a valve setting read, the jaws wiped, both proved together.",
        _two_at_once, PASSED, (40, 40), (20, 20), (20, 30), (10, 10),
    ),
)  # fmt: skip
