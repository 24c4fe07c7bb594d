"""The lock-out and its way back, as a good operator takes them.

Never here: what is done while the saw is locked out.
"""

from typing import Final

from sim.session.before.keys import wait_until
from sim.session.hands.hazards import all_stands
from sim.session.hands.table import Reach
from sim.session.locking import do_all, giving_back, locking_out
from sim.session.session import Session

_STOPS_S: Final = 20.0  # longer than the band coasts
_SINKS_S: Final = 600.0  # longer than a head sinks with its feed valve open


def switch_off(session: Session) -> None:
    """Stop what runs, and switch the isolator off."""
    if session.over:
        return
    session.tap("band.stop")
    band = session.saw.plant.band
    wait_until(session, lambda: not band.turning, _STOPS_S)
    if session.saw.bus.driven("Q0") and not session.over:
        session.release("supply.isolator")
        session.advance(_STOPS_S)
        wait_until(session, lambda: all_stands(session.saw.plant), _SINKS_S)


def lock_out(session: Session, until: str = "verify", work: Reach | None = None) -> None:
    """Take the whole lock-out, in its order, to its last step, for work somewhere."""
    do_all(session, locking_out(session, until=until, work=work))


def give_back(session: Session) -> None:
    """Take the way back, in its order."""
    do_all(session, giving_back(session))
