"""How the controller stands, to the eye: supply, mode, lamps, mimic, the job and its counters.

Lamps, mimic and counters are electric: with the isolator off nothing of them is lit.
"""

from collections.abc import Mapping
from functools import lru_cache
from typing import Final

from sim.control import lamps as console
from sim.control.nouns import CALLED, MODES, state_word
from sim.control.switches import SENSOR_EVENTS
from sim.control.table import TABLES
from sim.plant.padlocks import AIR_COCK, DEVICES, ISOLATOR
from sim.session.inspections.inspection import isolator_on
from sim.session.session import Session
from sim.words.fields import count, name, one_of, part, parts
from sim.words.message import NOTHING, Message, plain, row, sentences

JOB_STATES: Final = {
    "STOPPED": "stopped",
    "RESETTING": "getting ready",
    "IDLE": "ready and waits for its start",
    "STARTING": "starting",
    "EXECUTE": "running",
    "HOLDING": "coming to a hold",
    "HELD": "held",
    "UNHOLDING": "going on after the hold",
    "COMPLETING": "done and coming to rest",
    "COMPLETE": "complete",
    "STOPPING": "stopping",
    "ABORTING": "aborting",
    "ABORTED": "aborted",
    "CLEARING": "clearing after an abort",
}

STEPS: Final = {
    "PARKED": "between pieces",
    "RELEASE_SHUTTLE_VISE": "releasing the shuttle vise",
    "SHUTTLE_BACK": "sending the shuttle back to its length stop",
    "CLAMP_SHUTTLE_VISE": "clamping the shuttle vise",
    "RELEASE_CUTTING_VISE": "releasing the cutting vise",
    "SHUTTLE_FORWARD": "feeding the bar forward",
    "CLAMP_CUTTING_VISE": "clamping the cutting vise",
    "CLAMP_TO_SQUARE": "clamping the cutting vise to square the end",
    "BAND_TO_SPEED": "bringing the band to speed",
    "LOWER_HEAD": "lowering the head and cutting",
    "RAISE_HEAD": "raising the head",
    "COUNT": "counting",
    "SECURE_CUTTING_VISE": "clamping the cutting vise to leave the bar clamped",
    "SECURE_SHUTTLE_VISE": "clamping the shuttle vise to leave the bar clamped",
    "WITHDRAW": "raising the head and leaving the piece",
}

_WITH_REASON: Final = ("HOLDING", "HELD", "STOPPING", "STOPPED", "ABORTING", "ABORTED")

_SUPPLY: Final = row("seen.supply", "{parts}.", parts=parts(", "))
_ISOLATOR_ON: Final = plain("seen.isolator.on", "The isolator is on")
_ISOLATOR_OFF: Final = plain("seen.isolator.off", "The isolator is off")
_YOUR_LOCK: Final = plain("seen.lock", "with your lock on it")
_YOUR_LOCK_AIR: Final = plain("seen.lock.air-cock", "your lock is on the air cock")
_ANOTHERS_LOCK: Final = {
    ISOLATOR: row("seen.lock.another", "a lock of {who} is on the isolator", who=name()),
    AIR_COCK: row("seen.lock.another.air-cock", "a lock of {who} is on the air cock", who=name()),
}
_STOP_IN: Final = plain("seen.emergency-stop", "the emergency stop is pressed in")
_INFEED_STOP_IN: Final = plain("seen.infeed-stop", "the emergency stop at the infeed is pressed in")
_TRIP_LINE: Final = plain("seen.trip-line", "the trip line is pulled")
_POWER_ON: Final = plain("seen.power.on", "control power is on")
_POWER_OFF: Final = plain("seen.power.off", "control power is off")

_MODE_IS: Final = row("seen.mode", "The mode is {mode}.", mode=MODES)
_MODE_CHANGES: Final = plain(
    "seen.mode.changes", "The saw has no mode while the mode switch is turned."
)

_KEY_OUT: Final = plain("seen.mode.key-out", "The saw has no mode: the key is out.")

_NO_LAMP: Final = plain("seen.lamps.none", "No lamp is lit.")
_DARK_THOUGH_ON: Final = plain(
    "seen.lamps.dark", "The whole console is dark, though the isolator is on."
)
_LIT: Final = row("seen.lamps", "Lamps lit: {lamps}.", lamps=parts(", "))

_BETWEEN: Final = "BETWEEN"
_ENDS: Final = {
    table.name: tuple(
        (tag, row.to)
        for (tag, made), (machine, event) in SENSOR_EVENTS.items()
        for row in table.rows
        if made and machine == table.name and row.state == _BETWEEN and row.event == event
    )
    for table in TABLES
}
"""By machine the switch of each end, and the state in which it is there."""
SHOWN: Final = ("cutting_vise", "shuttle_vise", "shuttle", "head", "band", "coolant")
"""The parts whose state the mimic of the console shows, as the controller has it."""
_MIMIC: Final = row("seen.mimic", "The mimic shows: {parts}.", parts=parts("; "))
_PART_SHOWN: Final = row("seen.mimic.part", "{machine}: {state}", machine=part(), state=part())
DISPLAY_DARK: Final = plain("seen.job.dark", "Job and counters are not shown: the console is dark.")
_JOB_IS: Final = row("seen.job", "The job is {state}.", state=one_of(*JOB_STATES.values()))
_FINISHES: Final = plain(
    "seen.job.finishes", "The job finishes what it has begun, and is then complete."
)
_NONE_ABORTED: Final = plain(
    "seen.job.none-aborted", "No job was under way; the next one is begun with clear and reset."
)
_UNDER_WAY: Final = (
    "STARTING", "EXECUTE", "HOLDING", "HELD", "UNHOLDING", "COMPLETING", "STOPPING",
)  # fmt: skip
_STEP_SQUARING: Final = row(
    "seen.step.squaring", "Step of the squaring cut: {step}.", step=one_of(*STEPS.values())
)
_STEP_PIECE: Final = row(
    "seen.step.piece",
    "Step of piece {piece}: {step}.",
    piece=count(), step=one_of(*STEPS.values()),
)  # fmt: skip
_REASON: Final = row("seen.reason", "Reason: {reason}.", reason=part())
_COUNTERS: Final = row(
    "seen.counters",
    "Counters: wanted {wanted}, cut {cut}, to come {to_come}, strokes a piece {strokes}.",
    wanted=count(), cut=count(), to_come=count(), strokes=count(),
)  # fmt: skip
_A_CUT: Final = row(
    "seen.counters.a-cut", "They count cuts, and each gives {count} piece.",
    plural="They count cuts, and each gives {count} pieces.", count=count(),
)  # fmt: skip
_FIRST: Final = {
    "SQUARE": plain("seen.first.square", "The first cut squares the end."),
    "STRAIGHT": plain("seen.first.straight", "The first cut makes a piece."),
}


_LET_GO: Final = {"S1": _STOP_IN, "S9": _INFEED_STOP_IN, "S2": _TRIP_LINE}


def supply(session: Session) -> Message:
    """Return how the isolator, a lock, the stops and control power stand."""
    bus = session.saw.bus
    said = [_ISOLATOR_ON if bus.driven("Q0") else _ISOLATOR_OFF]
    if session.lockout.mine(ISOLATOR):
        said.append(_YOUR_LOCK)
    if session.lockout.mine(AIR_COCK):
        said.append(_YOUR_LOCK_AIR)
    said += [
        _ANOTHERS_LOCK[device](who=who)
        for device in DEVICES
        for who in session.lockout.others_on(device)
    ]
    said += [told for tag, told in _LET_GO.items() if not bus.driven(tag)]
    if bus.driven("Q0"):
        said.append(_POWER_ON if session.saw.plant.supply.powered else _POWER_OFF)
    return _SUPPLY(parts=tuple(said))


def mode(session: Session) -> Message:
    """Return the mode of the machine, or that it has none while the switch is turned."""
    mode = str(session.saw.controller.image["mode"])
    if mode != "NONE":
        return _MODE_IS(mode=mode)
    return _KEY_OUT if session.saw.plant.mode_key.keeps_off else _MODE_CHANGES


def console_lit(session: Session) -> bool:
    """Return whether the console has its voltage; without it nothing on it is lit, and no display tells."""
    return not isolator_on(session.saw)


def mimic(session: Session) -> Message:
    """Return what the mimic shows of the parts; nothing while it is dark."""
    if not console_lit(session):
        return NOTHING
    image = session.saw.controller.image
    return _mimic(tuple(shown_state(image, name) for name in SHOWN))


def shown_state(image: Mapping[str, object], machine: str) -> str:
    """Return the state of a part that the mimic shows: between two ends, the one whose switch is made.

    The controller takes a part that was halted for one on its way until a switch changes; the mimic goes
    by the switches as they are.
    """
    state = str(image[machine])
    if state != _BETWEEN:
        return state
    ends = [end for tag, end in _ENDS[machine] if image[tag]]
    return ends[0] if len(ends) == 1 else state


@lru_cache(maxsize=256)
def _mimic(states: tuple[str, ...]) -> Message:
    shown = zip(SHOWN, states, strict=True)
    return _MIMIC(
        parts=tuple(
            _PART_SHOWN(machine=CALLED[name], state=state_word(name, state))
            for name, state in shown
        )
    )


def lamps(session: Session) -> Message:
    """Return which lamps are lit."""
    if session.saw.bus.driven("Q0") and not console_lit(session):
        return _DARK_THOUGH_ON
    lit = tuple(
        lamp.word for lamp in console.lit(session.saw.controller.image, session.saw.controller.rows)
    )
    return _LIT(lamps=lit) if lit else _NO_LAMP


def _broke_off_a_job(session: Session) -> bool:
    """Whether a job was under way when the last abort came."""
    trace = session.trace
    states = (change.value for change in trace.latest() if change.tag == "job")
    was = next((each for each in states if each not in ("ABORTING", "ABORTED")), trace.first["job"])
    return was in _UNDER_WAY


def job(session: Session) -> Message:
    """Return the state of the job, its step, what it waits for, the counters and its first cut."""
    if not console_lit(session):
        return DISPLAY_DARK
    controller = session.saw.controller
    job = controller.job
    aborted = job.state in ("ABORTING", "ABORTED")
    none = aborted and not _broke_off_a_job(session)
    finishes = job.state == "COMPLETING" and job.step != "PARKED"
    is_so = _FINISHES if finishes else _JOB_IS(state=JOB_STATES[job.state])
    said = [_NONE_ABORTED if none else is_so]
    if job.state == "EXECUTE" or finishes:
        step = STEPS[job.step]
        said.append(
            _STEP_SQUARING(step=step) if job.squaring else _STEP_PIECE(piece=job.cut + 1, step=step)
        )
    said += [refusal.said for refusal in controller.waits_for()]
    if job.reason and job.state in _WITH_REASON:
        said.append(_REASON(reason=job.reason))
    said.append(_COUNTERS(wanted=job.wanted, cut=job.cut, to_come=job.to_come, strokes=job.strokes))
    if session.pieces_a_cut > 1:
        said.append(_A_CUT(count=session.pieces_a_cut))
    if job.step == "PARKED":
        said.append(_FIRST[str(controller.image["first"])])
    return sentences(*said)
