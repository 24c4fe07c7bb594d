"""The way on for a job that stands because a jaw cannot reach its bar: the jaw gap is set as on the card.

The tables know no gap, so a search over them would stop the job, start it and have it stand again.

Never here: ways that keys alone open (see `logic.bench.freeing`).
"""

from collections.abc import Callable
from typing import Final

from sim.control.actions import BY_NAME
from sim.logic.bench.freeing import search
from sim.logic.bench.way import BenchAct, Judge, Way, WayStep, do, key_act
from sim.plant.vise import JAW_GAPS
from sim.saw import Saw
from sim.session.session import Session
from sim.units import MM, US
from sim.words.fields import mm, name
from sim.words.message import row

_VISE_OF: Final = {"B33": "cutting_vise", "B34": "shuttle_vise"}
_LEADS_ON_S: Final = 60  # after the start, to see that the job does not stand where it stood
_NEAR_MM: Final = 0.5  # of the card; a hand sets no gap finer
_SET: Final = row("way.jaw-gap", "Set {name} to {gap}, as the card has it.", name=name(), gap=mm())


def jaw_out_of_reach(session: Session) -> str:
    """Return the vise that the job stands waiting for with its jaw gap off the card; empty when none."""
    saw = session.saw
    waits = saw.controller.waits_for() if saw.clock.still else ()
    vise = _VISE_OF.get(waits[0].device, "") if waits else ""
    if not vise:
        return ""
    gap_mm, right_mm = float(saw.read(JAW_GAPS[vise])), _right_mm(session, vise)
    return vise if abs(gap_mm - right_mm) > _NEAR_MM else ""


def _right_mm(session: Session, vise: str) -> float:
    point = JAW_GAPS[vise]
    return next(float(line.setting) for line in session.card if line.name == point)


def way_on(session: Session, vise: str, fresh: Callable[[], Saw], judge: Judge) -> Way | None:
    """Return the way that sets a jaw right and has the job begin again; None when none is found.

    A hold that waits for the jaw never comes, so the job that is begun again is a start.

    Args:
        session: Where the job stands.
        vise: Whose jaw is out of reach.
        fresh: Makes a saw that stands there.
        judge: Tells the slip of a key that the way has pressed.
    """
    release = f"{vise}.release"
    first = search(fresh(), release)
    if first is None:
        return None
    back = WayStep(key_act(BY_NAME[release]), ((vise, "RELEASED"),))
    point, right_mm = JAW_GAPS[vise], _right_mm(session, vise)
    gap = BenchAct(_SET(name=point, gap=right_mm * MM), "set", (), ((point, right_mm),))
    steps = (*first[:-1], back, WayStep(gap, ()))
    saw = fresh()
    do(saw, steps, release, judge)
    then = search(saw, "job.start") if saw.read(point) == right_mm else None
    if then is None:
        return None
    steps = (*steps, *then)
    saw = fresh()
    outcome = do(saw, steps, "job.start", judge)
    way = Way(steps, not outcome.stuck_at, outcome.stuck_at, outcome.harm)
    saw.advance_to(saw.clock.now_us + _LEADS_ON_S * US)
    return way if way.verified and _goes_on(saw, vise) else None


def _goes_on(saw: Saw, vise: str) -> bool:
    waits = saw.controller.waits_for() if saw.clock.still else ()
    return not waits or _VISE_OF.get(waits[0].device) != vise
