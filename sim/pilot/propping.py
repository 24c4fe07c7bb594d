"""The head let down on its prop, and raised off it again, by the keys and levers outside.

Never here: what hands do under a head that is propped.
"""

from typing import Final

from sim.pilot.keys import hold_until, raise_head, to_mode, wait_until
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session.session import Session

_SINKS_S: Final = 600.0  # longer than a head sinks with its feed valve open
_LOWERS_S: Final = 120.0
_VALVE: Final = "head.feed_valve_mm_min"
_NOTCH: Final = "head.stop_notch"


def let_head_rest(session: Session) -> bool:
    """Have the head stand on bed, work or prop; return whether it was let down on the prop for it."""
    saw, head = session.saw, session.saw.plant.head
    if head.rests or session.over:
        return False
    if saw.controller.image["supply"] != "ON":
        wait_until(session, lambda: head.rests, _SINKS_S)
        return False
    notch, valve = saw.read(_NOTCH), round(float(saw.read(_VALVE)), 6)
    _, fastest = SET_POINTS[_VALVE].limits(session.machine)
    session.set(_NOTCH, session.machine.notches)
    to_mode(session, "MANUAL")
    raise_head(session)
    session.set("head.prop", "in")
    if head.prop == "in":
        session.set(_VALVE, fastest)
        hold_until(session, "head.lower", lambda: head.propped, _LOWERS_S)
        session.set(_VALVE, valve)
    session.set(_NOTCH, notch)
    return head.propped


def swing_prop_out(session: Session) -> None:
    """Swing the prop out, if it is in; raise the head off it first, if it rests on it."""
    saw = session.saw
    if saw.read("head.prop") == "out" or session.over:
        return
    notch = saw.read(_NOTCH)
    if saw.plant.head.propped:
        session.set(_NOTCH, session.machine.notches)
        to_mode(session, "MANUAL")
        raise_head(session)
    if not session.over:
        session.set("head.prop", "out")
        session.set(_NOTCH, notch)
