"""The acts that a hint stands for, word by word as they are typed in the terminal.

The keys and sheets of the window have the same names. What is done already is left out: a machine
under power needs no power-up.

Never here: what is best done next (see `debrief.hints`).
"""

from collections.abc import Sequence
from typing import Final

from sim.faults.catalogue import EVERY
from sim.plant.mode_key import IN_POCKET
from sim.session import locking
from sim.session import own_control as own_control_of
from sim.session.hands.table import (
    Reach,
    last_step_to_mend,
    locked_out_to_look,
    locked_out_to_mend,
    to_look,
    to_mend,
)
from sim.session.inspections import Inspection
from sim.session.kept import told
from sim.session.locking import Foreseen
from sim.session.lockout import STOPS
from sim.session.session import Session
from sim.trade.measuring import BY_NAME as TOOLS
from sim.words.message import Message

_CLAMPING: Final = ("hold cutting_vise.clamp 2", "hold shuttle_vise.clamp 2")
NAME_IT: Final = ("faults", "diagnose NAME")
END_IT: Final = ("quit",)
_KEY_IN: Final = "set mode.key in the switch"
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
    before, after = own_control_of.own_control(session, reach)
    return tuple(act.typed for act in before), tuple(act.typed for act in after)


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
    supply = session.saw.controller.image["supply"]
    if goes_off or supply not in ("OFF", "ON"):  # off, it is reset already
        acts.append("tap supply.reset")
    if goes_off or supply != "ON":
        acts.append("tap supply.control_on")
    return tuple(acts)


def out_of_the_metal(session: Session) -> tuple[str, ...]:
    """Return the acts that stop a band whose teeth lie in the metal, and raise the head off it."""
    band = session.saw.plant.band
    stops = ("tap band.stop",) if band.contactor else ()
    waits = ("wait still",) if stops or band.moves else ()
    out = (f"release {latch}" for latch in STOPS if latch in session.saw.held)
    key = (_KEY_IN,) if session.saw.read("mode.key") == IN_POCKET else ()
    return (*stops, *waits, *out, *key, *raising(session))


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
