"""The acts that a hint stands for, word by word as they are typed in the terminal.

The keys and sheets of the window have the same names. What is done already is left out: a machine
under power needs no power-up.

Never here: what is best done next (see `debrief.hints`).
"""

from collections.abc import Sequence
from typing import Final

from sim.control.table import JOB_RUNS
from sim.faults.catalogue import EVERY
from sim.plant.mode_key import IN_POCKET
from sim.plant.set_points import BY_NAME as SET_POINTS
from sim.session import locking
from sim.session.hands.hazards import all_stands
from sim.session.hands.table import (
    Reach,
    last_step_to_mend,
    locked_out_to_look,
    locked_out_to_mend,
    to_look,
    to_mend,
)
from sim.session.hands.zones import Demand
from sim.session.inspections import Inspection
from sim.session.kept import told
from sim.session.locking import Foreseen
from sim.session.session import Session
from sim.trade.measuring import BY_NAME as TOOLS
from sim.words.message import Message

_CLAMPING: Final = ("hold cutting_vise.clamp 2", "hold shuttle_vise.clamp 2")
NAME_IT: Final = ("faults", "diagnose NAME")
END_IT: Final = ("quit",)
_STOP_IN: Final = "press supply.emergency_stop"
_STOP_OUT: Final = "release supply.emergency_stop"
_KEY_OUT: Final = "set mode.key in my pocket"
_KEY_IN: Final = "set mode.key in the switch"
_NOTCH: Final = "head.stop_notch"
_VALVE: Final = "head.feed_valve_mm_min"
_LOWERS_S: Final = 60.0  # what takes longer is done with the feed valve wide
_BOTH_OPEN: Final = ("press supply.emergency_stop", "release supply.emergency_stop")
"""Opens both channels of the safety relay together, and aborts the job."""


def listed(acts: Sequence[str]) -> Message:
    """Return acts as one sentence, in the form that one line of the terminal takes."""
    return told.TYPED_ACTS(acts=tuple(told.TYPED_ACT(act=act) for act in acts))


def looking(session: Session, look: Inspection) -> tuple[str, ...]:
    """Return the acts of an inspection, with the lock-out or the own control that it needs."""
    reach = to_look(look)
    if locked_out_to_look(look):
        return (*locking_out(session, work=reach), f"inspect {look.name}")
    before, after = own_control(session, reach)
    return (*before, f"inspect {look.name}", *after)


def own_control(session: Session, reach: Reach) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the acts that have the saw in one's own control, and those that give it back; none where it is."""
    saw, plant = session.saw, session.saw.plant
    if reach.demand not in (Demand.OWN_CONTROL, Demand.STANDS) or session.hands.safe(reach):
        return (), ()
    job = ("tap job.stop",) if saw.controller.job.state in JOB_RUNS else ()
    stops = (*job, *(("tap band.stop",) if plant.band.contactor else ()))
    if reach.demand is Demand.STANDS:
        return (*stops, "wait still"), ()
    if job and reach.wants_rest and plant.head.rests:  # to stop the job would raise it again
        return (_STOP_IN, "wait still"), (_STOP_OUT, "tap supply.reset", "tap control_on")
    waits = () if all_stands(plant) and not stops else ("wait still",)
    if not reach.wants_rest or plant.head.rests:
        return (*stops, *waits, _KEY_OUT), (_KEY_IN,)
    if saw.controller.image["supply"] != "ON":  # it sinks until it rests
        return ("wait still", _KEY_OUT), (_KEY_IN,)
    turn = () if saw.controller.image["mode"] == "MANUAL" else ("turn manual",)
    top, notch = session.machine.notches, float(saw.read(_NOTCH))
    down_m, valve = session.machine.head_top_m - session.machine.prop_m, float(saw.read(_VALVE))
    _, fastest = SET_POINTS[_VALVE].limits(session.machine)
    slow = down_m > plant.head.valve_m_s * _LOWERS_S  # or shut: then it would not come down at all
    opens, shuts = (
        ((f"set {_VALVE} {fastest:g}",), (f"set {_VALVE} {valve:g}",)) if slow else ((), ())
    )
    onto = (
        f"set {_NOTCH} {top}", *turn, "hold head.raise 8", "set head.prop in", *opens,
        f"hold head.lower {_LOWERS_S + 5:g}",
    )  # fmt: skip
    off = ("hold head.raise 8", "set head.prop out", f"set {_NOTCH} {notch:g}", *shuts)
    return (*stops, *waits, *onto, _KEY_OUT), (_KEY_IN, *off)


def locking_out(
    session: Session, until: str = "verify", work: Reach | None = None, seen: Foreseen | None = None
) -> tuple[str, ...]:
    """Return the acts that are still wanting until hands may go in somewhere, to a last step."""
    acts = locking.locking_out(session, until=until, work=work, seen=seen)
    return tuple(act.typed for act in acts)


def powering_up(session: Session, seen: Foreseen | None = None) -> tuple[str, ...]:
    """Return the acts that are still wanting until control power is on.

    Args:
        session: Whose saw it is.
        seen: What is foreseen, where other acts come before.
    """
    here = seen if seen is not None else Foreseen(session)
    acts = [act.typed for act in locking.giving_back(session, seen=here)]
    goes_off = not here.isolator_on
    if goes_off:
        acts.append("press supply.isolator")
    if session.done.named and session.saw.plant.power.relay.disagreed:
        acts += _BOTH_OPEN  # what was named is put right by then
    if goes_off or session.saw.controller.image["supply"] != "ON":
        acts += ["tap supply.reset", "tap supply.control_on"]
    return tuple(acts)


def out_of_the_metal(session: Session) -> tuple[str, ...]:
    """Return the acts that stop a band whose teeth lie in the metal, and raise the head off it."""
    stops = ("tap band.stop", "wait still") if session.saw.plant.band.contactor else ()
    pressed_in = "supply.emergency_stop" in session.saw.held
    return (*stops, *((_STOP_OUT,) if pressed_in else ()), *raising(session))


def raising(session: Session) -> tuple[str, ...]:
    """Return the acts that power the saw up and raise its head to the height stop."""
    return (*powering_up(session), *_raising(session))


def _raising(session: Session, *, sank: bool = False) -> tuple[str, ...]:
    """Return the acts that raise the head of a saw that has power, where it is not up or `sank` since."""
    if session.saw.bus.seen["B11"] and not sank:
        return ()
    turned = session.saw.controller.image["mode"] == "MANUAL"
    return (*(() if turned else ("turn manual",)), "hold head.raise 8")


def cutting(session: Session) -> tuple[str, ...]:
    """Return the acts that have the job cut a piece."""
    power = powering_up(session)
    return (*power, *_piece(session, power))


def _piece(session: Session, power: Sequence[str]) -> tuple[str, ...]:
    """Return the acts that have the job cut a piece, once the saw is powered up by others."""
    first = session.scenario.job.first
    clamps = _CLAMPING if first == "straight" else ()
    starts = ("tap job.reset", f"tap job.{first}", "palms job.start", "wait piece")
    wet = "tap coolant.with_band"
    aborted = session.saw.controller.job.state == "ABORTED" or set(_BOTH_OPEN) <= set(power)
    clear = ("tap job.clear",) if aborted else ()
    return ("auto ready", *clamps, wet, "turn production", *clear, *starts)


def proving(session: Session) -> tuple[str, ...]:
    """Return the acts that put right what was named and is not mended yet, and prove it."""
    mended = session.done.put_right
    wanting = [fault for fault in dict.fromkeys(session.done.named) if fault not in mended]
    works = [to_mend(EVERY[fault]) for fault in wanting if locked_out_to_mend(fault)]
    until = max(map(last_step_to_mend, wanting), key="prove-dead".__eq__, default="verify")
    seen = Foreseen(session)
    before = [act for work in works for act in locking_out(session, until, work, seen)]
    fixes: list[str] = []
    power = powering_up(session, seen)
    piece = _piece(session, power)
    jogs: list[str] = []  # with power, and so after all else
    if not before and any(EVERY[fault].fresh_bar for fault in wanting):
        fixes += _room_for_bar(session)
        power = ()  # it is on by then
    for fault in wanting:
        if EVERY[fault].fresh_bar and not before:
            fixes += ["set mode.key in my pocket", f"fix {fault}", "set mode.key in the switch"]
            continue
        # Under a lock-out the saw is in one's own control already.
        first, then = ((), ()) if before else own_control(session, to_mend(EVERY[fault]))
        if EVERY[fault].jogged:
            key = (_KEY_IN,) if seen.read("mode.key") == IN_POCKET else ()
            jogs += [*first, *key, *_raising(session, sank=bool(before)), f"fix {fault}", *then]
        else:
            fixes += [*first, f"fix {fault}", *then]
    return (*before, *fixes, *power, *jogs, *piece, *measuring(session))


def _room_for_bar(session: Session) -> tuple[str, ...]:
    """Return the acts that bring the saw to where a bar can be laid in."""
    plant = session.saw.plant
    vises = (("cutting_vise", plant.cutting_vise), ("shuttle_vise", plant.shuttle_vise))
    opens = tuple(f"hold {name}.release 3" for name, vise in vises if not vise.back)
    return (
        *powering_up(session), "auto ready", *(("turn manual",) if opens else ()), *opens,
    )  # fmt: skip


def measuring(session: Session) -> tuple[str, ...]:
    """Return the acts that bring a running job to rest after a piece and measure that; none without its tools."""
    there = session.scenario.inspections
    tools = session.measuring.proof_tools(TOOLS if there == "all" else there)
    if not tools:
        return ()
    holds = ("tap job.hold", "wait job") if session.saw.controller.job.wanted > 1 else ("wait job",)
    return (*holds, "wait still", *(f"inspect {tool.name}" for tool in tools))
