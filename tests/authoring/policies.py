"""Eight ways to work through a drill, to hold the score to.

The master hears the report and follows the best plan, names, mends and proves. The hinted one does as the
hints say. The reader names what the report makes likeliest, and mends and proves it. The changer
changes parts until it runs. The rummager looks at everything in an order by chance, then names what
is left. The guesser names and mends by chance. The careless one reaches in as the machine stands. The
idle one waits.

All use the session's verbs alone.
"""

from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from typing import Final

from sim.authoring.search import find_cause, put_right
from sim.debrief.evidence import evidence
from sim.debrief.hints import hint
from sim.diagnosis.dependency import faults_of
from sim.diagnosis.matrix_from_saw import allowed, for_role, in_cabinet, matrix_for
from sim.diagnosis.tree import leader
from sim.errors import CommandError
from sim.faults.catalogue import CATALOGUE
from sim.kernel.streams import stream
from sim.pilot.autopilot import as_found, power_up, prove
from sim.pilot.careful import careful
from sim.session.hands.table import locked_out_to_mend, to_look, to_mend
from sim.session.lockout import QUALIFIED
from sim.session.session import Session

GUESSES: Final = 5
PARTS: Final = 6  # that the changer changes at most


def _mend_and_prove(session: Session, names: Sequence[str]) -> None:
    for name in names:
        if not session.over:
            session.diagnose(name)
    for name in names:
        if not session.over:
            put_right(session, name)
    if not session.over:
        prove(session)


def master(session: Session) -> None:
    """Find out at the price of the best plan, name, put right and prove."""
    _mend_and_prove(session, faults_of(find_cause(session)[0]))


def hinted(session: Session) -> None:
    """Ask before the first look, then go the master's way."""
    hint(session)
    master(session)


def reader(session: Session) -> None:
    """Name the likeliest by the report, put it right and prove it."""
    matrix = for_role(session.scenario, matrix_for(session.scenario))
    ahead = leader(matrix, [cause.name for cause in matrix.causes if cause.faults])
    _mend_and_prove(session, faults_of(ahead[0]))


def changer(session: Session) -> None:
    """Put right what is likely, one after the other, until a good piece falls; then name the last."""
    matrix = for_role(session.scenario, matrix_for(session.scenario))
    likely = sorted(matrix.causes, key=lambda cause: -cause.weight)
    parts = list(dict.fromkeys(name for cause in likely for name in cause.faults))[:PARTS]
    for name in parts:
        if session.over:
            return
        put_right(session, name)
        if not session.over:
            prove(session)
        if session.measuring.good:
            session.diagnose(name)
            return


def rummager(session: Session, seed: int = 1) -> None:
    """Look at everything by chance, try a piece, and name what is left."""
    looks = [
        row
        for row in allowed(session.scenario)
        if session.scenario.role == QUALIFIED or not in_cabinet(row)
    ]
    stream(seed, session.scenario.title).shuffle(looks)
    power_up(session)
    for row in looks:
        if not session.over:
            with careful(session, to_look(row)), suppress(CommandError):
                session.inspect(row.name)
    if not session.over:
        as_found(session, 1)
    known = evidence(session, up_to_now=True)
    matrix = for_role(session.scenario, matrix_for(session.scenario))
    ahead = leader(matrix, known.possible or known.causes)
    _mend_and_prove(session, faults_of(ahead[0]))


def guesser(session: Session, seed: int = 1) -> None:
    """Name causes at random, apply their remedies under lock-out, and try a piece."""
    chance = stream(seed, session.scenario.title)
    for name in chance.sample(sorted(CATALOGUE), GUESSES):
        if not session.over:
            session.diagnose(name)
            put_right(session, name)
    if not session.over:
        prove(session)


def careless(session: Session, seed: int = 1) -> None:
    """Power up, reach into the machine as it stands, and run it."""
    chance = stream(seed, session.scenario.title)
    power_up(session)
    deep = sorted(name for name in CATALOGUE if locked_out_to_mend(name))
    name = chance.choice(deep)
    session.diagnose(name)
    if to_mend(CATALOGUE[name]).behind_cover:  # the metal lets nobody in with it shut
        session.set("band.wheel_cover", "open")
    session.put_right(name)
    if not session.over:
        prove(session)


def idle(session: Session) -> None:
    """Wait ten minutes."""
    session.advance(600)


Policy = Callable[[Session], None]
POLICIES: Final[Mapping[str, Policy]] = {
    "master": master,
    "hinted": hinted,
    "rummager": rummager,
    "reader": reader,
    "changer": changer,
    "guesser": guesser,
    "careless": careless,
    "idle": idle,
}

MOST: Final = {"rummager": 70, "reader": 40, "changer": 40, "guesser": 30, "careless": 0, "idle": 0}
"""The most points that each may get; written before the score was."""
LEAST_OF_MASTER: Final = 90
MAY_PASS: Final = ("master", "rummager", "changer")
"""Who may pass at all. The changer may where one needless remedy left a single cause: a changed part is a
test too. What that is worth is little enough."""
