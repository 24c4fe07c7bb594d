"""Three ways to work through a drill, to hold the score to: with care, by guessing, and carelessly.

The careful one finds the cause by the best plan, names it, puts it right and proves it. The guesser
names and mends at random, under lock-out, and never looks. The careless one reaches in as the
machine stands.

All three use the session's verbs alone.
"""

from typing import Final

from sim.authoring.search import find_cause, put_right
from sim.diagnosis.dependency import faults_of
from sim.faults.catalogue import CATALOGUE
from sim.kernel.streams import stream
from sim.pilot.autopilot import again, power_up
from sim.session.hands.table import locked_out_to_mend, to_mend
from sim.session.session import Session

GUESSES: Final = 5


def careful(session: Session) -> None:
    """Find out, name, put right and prove, at the price of the best plan."""
    left = find_cause(session)
    faults = faults_of(left[0])
    for name in faults:
        if not session.over:
            session.diagnose(name)
    for name in faults:
        if not session.over:
            put_right(session, name)
    if not session.over:
        again(session, 1)


def guessing(session: Session, seed: int = 1) -> None:
    """Name causes at random, apply their remedies under lock-out, and try a piece."""
    chance = stream(seed, session.scenario.title)
    for name in chance.sample(sorted(CATALOGUE), GUESSES):
        if not session.over:
            session.diagnose(name)
            put_right(session, name)
    if not session.over:
        again(session, 1)


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
        again(session, 1)
