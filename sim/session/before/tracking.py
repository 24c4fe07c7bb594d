"""A band that was put on is jogged until it tracks, and let round once, before it runs faster or cuts.

Never here: how it came to be on the wheels (see `pilot.bandwork`).
"""

from typing import Final

from sim.plant.seat import SEATED
from sim.session import inspections
from sim.session.before.keys import to_mode, wait_until
from sim.session.known import may_look
from sim.session.session import Session

_LOOK: Final = "tracking"
_MOST_JOGS: Final = 12
_HELD_S: Final = 0.5  # longer than a jog, which ends by itself
_JOG_S: Final = 0.3
_SCREW_S: Final = (
    10.0  # a look, and a little at the tracking screw; with the last look a minute in all: a choice
)
_STANDS_S: Final = 20.0  # longer than a jogged band coasts


def track(session: Session) -> None:
    """Jog a band that was put on until it tracks, let it round once, and look where it runs; none that has run since.

    In MAINTENANCE the control jogs at the lowest dial only, and the dial is turned by a band that runs: with
    the dial elsewhere the band is set going and stopped at once in MANUAL, behind its closed covers.
    """
    seat = session.saw.plant.band.seat
    wants = (seat.fresh and not seat.tracks) or seat.unseen_m > 0.0
    if not wants or seat.place != SEATED or session.over:
        return
    if not seat.tracks:
        jog(session)
    turn_once(session)
    row = inspections.find(_LOOK)
    if row is not None and may_look(session.scenario, row) and not session.over:
        session.inspect(_LOOK)
    to_mode(session, "MANUAL")


def turn_once(session: Session) -> None:
    """Let the band round once in MANUAL, its covers closed, by the dial as it stands, and stop it."""
    band, machine = session.saw.plant.band, session.machine
    if session.over or band.seat.unseen_m <= 0.0:
        return
    to_mode(session, "MANUAL")
    session.palms("band.run")
    session.advance(band.seat.unseen_m / band.dial.position + machine.start_s)
    if not session.over:
        session.tap("band.stop")
        wait_until(session, lambda: not band.moves, _STANDS_S)


def jog(session: Session) -> None:
    """Jog the band until it tracks."""
    plant, slow = session.saw.plant, session.saw.bus.seen["B3"]
    to_mode(session, "MAINTENANCE" if slow else "MANUAL")
    for _ in range(_MOST_JOGS):
        if plant.band.seat.tracks or session.over:
            break
        if slow:
            session.press("enable")
            session.hold("band.run", _HELD_S)
            if not session.over:
                session.release("enable")  # before anybody goes to the screw
        else:
            session.palms("band.run")
            session.advance(_JOG_S)
            session.tap("band.stop")
        wait_until(session, lambda: not plant.band.moves, _STANDS_S)
        if not session.over:
            session.advance(_SCREW_S)
