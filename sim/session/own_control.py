"""The acts that have a saw in one's own control before hands go in, and those that give it back.

Everything is brought to rest and the key of the mode switch drawn; a head that rests on nothing is let down
on to its prop first, or without power on to bed or bar by its oil relief. What is done already is left out.

Never here: what must hold (see `hands.rule`), and a lock-out (see `locking`).
"""

from math import ceil
from typing import Final

from sim.control.table import JOB_RUNS
from sim.plant.lift import OPEN, SHUT
from sim.plant.mode_key import IN_POCKET, IN_SWITCH
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session.hands.hazards import all_stands
from sim.session.hands.table import Reach
from sim.session.hands.zones import Demand
from sim.session.locking import LockingAct
from sim.session.session import Session

_STOP: Final = "supply.emergency_stop"
_STOP_IN: Final = LockingAct("press", _STOP)
_STOP_OUT: Final = LockingAct("release", _STOP)
_KEY_OUT: Final = LockingAct("set", "mode.key", IN_POCKET)
_KEY_IN: Final = LockingAct("set", "mode.key", IN_SWITCH)
_STILL: Final = LockingAct("wait", "still")
_RAISE: Final = LockingAct("hold", "head.raise", "8")
_NOTCH: Final = "head.stop_notch"
_PROP: Final = "head.prop"
_LIFT: Final = "head.oil_relief"
_VALVE: Final = "head.feed_valve_mm_min"
_LOWERS_S: Final = 60.0  # what takes longer is done with the feed valve wide

Acts = tuple[LockingAct, ...]


def own_control(session: Session, reach: Reach) -> tuple[Acts, Acts]:
    """Return the acts that have the saw in one's own control, and those that give it back; none where it is."""
    saw, plant = session.saw, session.saw.plant
    if reach.demand not in (Demand.OWN_CONTROL, Demand.STANDS) or session.hands.safe(reach):
        return (), ()
    job = (LockingAct("tap", "job.stop"),) if saw.controller.job.state in JOB_RUNS else ()
    stops = (*job, *((LockingAct("tap", "band.stop"),) if plant.band.contactor else ()))
    if reach.demand is Demand.STANDS:
        return (*stops, _STILL), ()
    if job and reach.wants_rest and plant.head.rests:  # to stop the job would raise it again
        power = LockingAct("tap", "supply.reset"), LockingAct("tap", "supply.control_on")
        return (_STOP_IN, _STILL), (_STOP_OUT, *power)
    waits = () if all_stands(plant) and not stops else (_STILL,)
    if not reach.wants_rest or plant.head.rests:
        return (*stops, *waits, _KEY_OUT), (_KEY_IN,)
    if saw.controller.image["supply"] != "ON":
        down, shut = _let_down(session)
        return (_STILL, *down, _KEY_OUT), (_KEY_IN, *shut)
    onto, off = _prop(session)
    return (*stops, *waits, *onto, _KEY_OUT), (_KEY_IN, *off)


def _let_down(session: Session) -> tuple[Acts, Acts]:
    """Return the acts that let a head down without power, and those after; none where it sinks by itself."""
    plant, machine = session.saw.plant, session.machine
    if machine.head_sinks or session.saw.read(_LIFT) != SHUT:
        return (), ()
    lasts_s = (plant.head.place.position - machine.head_bottom_m) / machine.relief_m_s
    opens = LockingAct("set", _LIFT, OPEN), LockingAct("wait", str(ceil(lasts_s)))
    return opens, (LockingAct("set", _LIFT, SHUT),)


def _prop(session: Session) -> tuple[Acts, Acts]:
    """Return the acts that let the head down on to its prop, and those that take it off again."""
    saw, machine = session.saw, session.machine
    turn = () if saw.controller.image["mode"] == "MANUAL" else (LockingAct("turn", "manual"),)
    notch, valve = float(saw.read(_NOTCH)), float(saw.read(_VALVE))
    down_m = machine.head_top_m - machine.prop_m
    _, fastest = SET_POINTS[_VALVE].limits(machine)
    slow = down_m > saw.plant.head.valve_m_s * _LOWERS_S  # or shut: it would not come down at all
    opens = (LockingAct("set", _VALVE, f"{fastest:g}"),) if slow else ()
    shuts = (LockingAct("set", _VALVE, f"{valve:g}"),) if slow else ()
    onto = (
        LockingAct("set", _NOTCH, str(machine.notches)), *turn, _RAISE, LockingAct("set", _PROP, "in"),
        *opens, LockingAct("hold", "head.lower", f"{_LOWERS_S + 5:g}"),
    )  # fmt: skip
    off = _RAISE, LockingAct("set", _PROP, "out"), LockingAct("set", _NOTCH, f"{notch:g}"), *shuts
    return onto, off
