"""A few moves at the console that every careful hand needs: wait, turn the mode switch, raise the head.

Never here: a way through a job or a lesson.
"""

from collections.abc import Callable

from sim.session.session import Session
from sim.units import US


def wait_until(session: Session, reached: Callable[[], bool], limit_s: float) -> bool:
    """Let time pass, event by event, until something is reached; False at the limit."""
    return session.advance_until(reached, round(limit_s * US))


def power_up(session: Session) -> None:
    """Switch the isolator on, reset the safety circuit, and switch control on."""
    session.press("supply.isolator")
    if session.saw.controller.image["supply"] != "ON":
        session.tap("supply.reset")
        session.tap("supply.control_on")


def to_mode(session: Session, mode: str) -> None:
    """Turn the mode switch, if it is elsewhere."""
    if session.saw.controller.image["mode"] != mode and not session.over:
        session.turn(mode)


def hold_until(session: Session, key: str, reached: Callable[[], bool], limit_s: float) -> None:
    """Hold a key down until something is reached."""
    if session.over:
        return
    session.press(key)
    wait_until(session, reached, limit_s)
    if not session.over:
        session.release(key)


def raise_head(session: Session) -> None:
    """Raise the head in MANUAL to its height stop."""
    seen = session.saw.bus.seen
    if not seen["B11"]:
        to_mode(session, "MANUAL")
        hold_until(session, "head.raise", lambda: seen["B11"], 15.0)
