"""What a careful hand brings about before it goes in, and puts back when it is out again.

It is read off the table of hands. For one's own control: the band stands, the head rests on bed, work or
prop where the zone is under it or beside it, and the key of the mode switch is in one's pocket. For a
lock-out: the lock-out itself, and a band that is let down before it is taken off.

Never here: what the hands then do.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final

from sim.pilot.locking import give_back, lock_out
from sim.pilot.propping import let_head_rest
from sim.plant.seat import SEATED
from sim.plant.set_points import Setting
from sim.session.before.keys import power_up, wait_until
from sim.session.hands.hazards import Opens, all_stands
from sim.session.hands.table import Reach
from sim.session.hands.zones import Demand, Zone
from sim.session.session import Session

_STANDS_S: Final = 60.0  # longer than anything coasts or sinks by itself
_KEY: Final = "mode.key"
_TENSION: Final = "band.tension_mpa"
_Undo = list[Callable[[], object]]


@contextmanager
def careful(session: Session, reach: Reach) -> Iterator[None]:
    """Have what an act asks for hold while it is done."""
    undo: _Undo = []
    tension = session.saw.read(_TENSION)
    if not session.over and not session.hands.safe(reach):
        _HAVE[reach.demand](session, reach, undo)
    if reach.opens is Opens.SPRING and not session.over:
        if session.saw.read(_TENSION) != 0.0:
            session.set(_TENSION, 0.0)
        if tension != 0.0:
            undo.append(lambda: _make_taut(session, tension))
    yield
    for back in reversed(undo):
        if not session.over:
            back()


def _make_taut(session: Session, tension: Setting) -> None:
    """Tension a band again as it was before, unless that was done meanwhile or it lies beside its guides."""
    seated = session.saw.plant.band.seat.place == SEATED
    if seated and session.saw.read(_TENSION) == 0.0:
        session.set(_TENSION, tension)


def _at_rest(session: Session, _reach: Reach, _undo: _Undo) -> None:
    plant = session.saw.plant
    if plant.band.contactor:
        session.tap("band.stop")
    wait_until(session, lambda: all_stands(plant), _STANDS_S)


def _own(session: Session, reach: Reach, undo: _Undo) -> None:
    _at_rest(session, reach, undo)
    off = let_head_rest(session) if reach.wants_rest else None
    if off is not None:
        undo.append(off)
    if not session.over and not session.hands.safe(reach):
        session.set(_KEY, "in my pocket")
        undo.append(lambda: session.set(_KEY, "in the switch"))


def _lock(session: Session, reach: Reach, undo: _Undo) -> None:
    powered = session.saw.controller.image["supply"] == "ON"
    off = let_head_rest(session)
    if off is not None:
        undo.append(off)
    lock_out(session, "prove-dead" if reach.zone is Zone.CABINET else "verify", reach)
    if powered:
        undo.append(lambda: power_up(session))
    undo.append(lambda: give_back(session))


_HAVE: Final[dict[Demand, Callable[[Session, Reach, _Undo], None]]] = {
    Demand.STANDS: _at_rest, Demand.OWN_CONTROL: _own, Demand.LOCKED_OUT: _lock,
}  # fmt: skip
