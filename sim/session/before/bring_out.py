"""Bringing the end of the bar out by hand, so far that the first cut takes all of it off, and an old kerf with it.

Never here: how far a job feeds the bar.
"""

from math import radians
from typing import Final

from sim.session.before.keys import hold_until, to_mode
from sim.session.session import Session
from sim.trade.mitre import kerf_along_m, taken_off
from sim.units import MM

SPARE_M: Final = (
    3 * MM
)  # by which an end is brought out further than it need be; common practice, no source
_CLEAR_OF_KERF_M: Final = 5 * MM
_JAW_S: Final = 5.0
_RUN_S: Final = 15.0
_MOST_STROKES: Final = 8


def wants_out_m(session: Session) -> float:
    """Return how much further the bar must stand out for the first cut of the job, m; 0 where it stands well.

    A cut at the order's angle must take the whole of the old end off, and no band may be let down into
    the kerf of another, or on the edge of one.
    """
    if session.scenario.job.first != "square":
        return 0.0
    plant, machine = session.saw.plant, session.machine
    bar, mitre_rad = plant.bar, radians(session.order.mitre_deg)
    out_m = 0.0
    if mitre_rad > 0.0 or bar.end_rad > 0.0:
        corner_m = taken_off(bar.end.moved(bar.front_m), mitre_rad, machine.kerf_m).corner_m
        out_m = corner_m + SPARE_M if corner_m > 0.0 else 0.0
    if bar.kerf_beside or plant.head.obstacles.binds_in_kerf:
        out_m = max(out_m, kerf_along_m(machine.kerf_m, mitre_rad) + _CLEAR_OF_KERF_M)
    return out_m


def bring_out(session: Session) -> None:
    """Feed the bar by hand until its end stands out far enough for the first cut; nothing where it does."""
    for _ in range(_MOST_STROKES):
        out_m = wants_out_m(session)
        if out_m <= 0.0 or session.over:
            return
        front_m = session.saw.plant.bar.front_m
        _feed(session, out_m)
        if session.saw.plant.bar.front_m <= front_m:
            return  # it does not come, and the job says why


def _feed(session: Session, way_m: float) -> None:
    """Feed the bar by one stroke of the shuttle, no longer than a way, m."""
    plant, seen = session.saw.plant, session.saw.bus.seen
    to_mode(session, "MANUAL")
    hold_until(session, "shuttle.forward", lambda: seen["B22"], _RUN_S)
    for key, tag in (("cutting_vise.clamp", "B33"), ("shuttle_vise.release", "B32")):
        hold_until(session, key, lambda: seen[tag], _JAW_S)  # noqa: B023 - at once
    if session.over:
        return
    session.press("shuttle.back")
    speed_m_s = plant.shuttle.speed_m_s or session.machine.shuttle_m_s  # without oil it stands
    session.advance(min(way_m, plant.shuttle.stop_m) / speed_m_s)
    if not session.over:
        session.release("shuttle.back")
    for key, tag in (("shuttle_vise.clamp", "B34"), ("cutting_vise.release", "B31")):
        hold_until(session, key, lambda: seen[tag], _JAW_S)  # noqa: B023 - at once
    hold_until(session, "shuttle.forward", lambda: seen["B22"], _RUN_S)
    hold_until(session, "cutting_vise.clamp", lambda: seen["B33"], _JAW_S)
