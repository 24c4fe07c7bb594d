"""The head let down on its prop, and raised off it again, by the keys and levers outside.

Never here: what hands do under a head that is propped.
"""

from collections.abc import Callable, Mapping
from functools import partial
from typing import Final

from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session.before.keys import hold_until, raise_head, to_mode, wait_until
from sim.session.session import Session
from sim.units import MM

_SINKS_S: Final = 600.0  # longer than a head sinks with its feed valve open
_LOWERS_S: Final = 60.0  # what takes longer is waited for with the feed valve wide
_SHORT_S: Final = 0.002
_SAME: Final = 1e-6
_CLEAR_M: Final = 8 * MM  # over the bar
_VALVE: Final = "head.feed_valve_mm_min"
_NOTCH: Final = "head.stop_notch"


def let_head_rest(session: Session) -> Callable[[], None] | None:
    """Have the head stand on bed, work or prop; return the way off the prop if it was let down on that."""
    saw, head = session.saw, session.saw.plant.head
    if head.rests or session.over:
        return None
    if saw.controller.image["supply"] != "ON":
        wait_until(session, lambda: head.rests, _SINKS_S)
        return None
    before = {name: round(float(saw.read(name)), 6) for name in (_NOTCH, _VALVE)}
    if before[_NOTCH] != session.machine.notches:
        session.set(_NOTCH, session.machine.notches)
    to_mode(session, "MANUAL")
    raise_head(session)
    session.set("head.prop", "in")
    if head.prop == "in":
        if _slow(session, session.machine.prop_m):
            _open_wide(session)
        hold_until(session, "head.lower", lambda: head.propped, 2 * _LOWERS_S)
    return partial(_raise_off_prop, session, before)


def _slow(session: Session, to_m: float) -> bool:
    """Whether the head takes so long down to a height that a hand opens its feed valve wide for the way."""
    head = session.saw.plant.head
    return head.place.position - to_m > head.valve_m_s * _LOWERS_S


def _open_wide(session: Session) -> None:
    _, fastest = SET_POINTS[_VALVE].limits(session.machine)
    session.set(_VALVE, fastest)


def down_to_stop(session: Session) -> None:
    """Bring a head that stands far above its stop down to it by its key, with the feed valve wide meanwhile.

    In the job it comes down at the feed of the cut through all the air above the bar. This saw has no
    quicker approach than the key with the valve wide; common practice, no source.
    """
    saw = session.saw
    notch, valve = float(saw.read(_NOTCH)), round(float(saw.read(_VALVE)), 6)
    if session.over or valve <= 0.0 or not _slow(session, _resting_m(session, notch)):
        return
    to_mode(session, "MANUAL")
    _open_wide(session)
    _down_to_notch(session, notch)
    if not session.over:
        session.set(_VALVE, valve)


def _raise_off_prop(session: Session, before: Mapping[str, float]) -> None:
    to_mode(session, "MANUAL")
    raise_head(session)
    if not session.over:
        session.set("head.prop", "out")
        _down_to_notch(session, before[_NOTCH])
        for name, setting in before.items():
            if abs(float(session.saw.read(name)) - setting) > _SAME:
                session.set(name, setting)


def _resting_m(session: Session, notch: float) -> float:
    """Return where a head is left above the bar that lies there, its ring at a notch, m."""
    top_m = session.saw.plant.bar.work_top_m
    return max(notch * session.machine.notch_step_m, top_m + _CLEAR_M)


def _down_to_notch(session: Session, notch: float) -> None:
    """Lower the head to where its stop would hold it, so that no cut begins from far above."""
    head, height_m = session.saw.plant.head, _resting_m(session, notch)
    if head.place.position > height_m and head.valve_m_s > 0.0:
        session.press("head.lower")
        # A hair short, so that the same time typed in thousandths of a second is not past it.
        session.advance(max((head.place.position - height_m) / head.valve_m_s - _SHORT_S, 0.0))
        if not session.over:
            session.release("head.lower")


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
