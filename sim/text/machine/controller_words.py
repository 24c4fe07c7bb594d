"""How the controller stands, to the eye: supply, selectors, lamps, the job and its counters."""

from typing import Final

from sim.control import lamps as desk
from sim.control.actions import STATIONS
from sim.control.nouns import MODE
from sim.session.session import Session
from sim.words.fields import count, one_of, part, parts
from sim.words.message import Message, plain, row, sentences

JOB_STATES: Final = {
    "STOPPED": "stopped",
    "RESETTING": "getting ready",
    "IDLE": "armed and waits to be begun",
    "STARTING": "starting",
    "EXECUTE": "running",
    "HOLDING": "coming to a hold",
    "HELD": "held",
    "UNHOLDING": "going on after the hold",
    "COMPLETING": "done and coming to rest",
    "COMPLETE": "complete",
    "STOPPING": "stopping",
    "ABORTING": "breaking off",
    "ABORTED": "broken off",
    "CLEARING": "clearing after it was broken off",
}

STEPS: Final = {
    "PARKED": "between pieces",
    "FREE_SHUTTLE_VISE": "freeing the shuttle vise",
    "SHUTTLE_TO_STOP": "sending the shuttle to its length stop",
    "GRIP_SHUTTLE_VISE": "gripping with the shuttle vise",
    "FREE_CUTTING_VISE": "freeing the cutting vise",
    "SHUTTLE_TO_BLADE": "feeding the bar to the blade",
    "GRIP_CUTTING_VISE": "gripping with the cutting vise",
    "GRIP_FOR_TRIM": "gripping with the cutting vise for the trim cut",
    "BAND_TO_SPEED": "bringing the band to speed",
    "LOWER_HEAD": "lowering the head and cutting",
    "LIFT_HEAD": "lifting the head",
    "COUNT": "counting",
}

_WITH_REASON: Final = ("HOLDING", "HELD", "STOPPING", "STOPPED", "ABORTING", "ABORTED")

_SUPPLY: Final = row("seen.supply", "{parts}.", parts=parts(", "))
_ISOLATOR_ON: Final = plain("seen.isolator.on", "The isolator is on")
_ISOLATOR_OFF: Final = plain("seen.isolator.off", "The isolator is off")
_YOUR_LOCK: Final = plain("seen.lock", "with your lock on it")
_STOP_IN: Final = plain("seen.emergency-stop", "the emergency stop is pressed in")
_POWER_ON: Final = plain("seen.power.on", "control power is on")
_POWER_OFF: Final = plain("seen.power.off", "control power is off")

_ALL_IN: Final = row("seen.selectors.all", "All stations are in {mode}.", mode=MODE)
_SOME_IN: Final = row(
    "seen.selectors",
    "In AUTO: {auto}. In HAND: {hand}.",
    auto=parts(", "), hand=parts(", "),
)  # fmt: skip
_STATION: Final = {
    station: plain(f"seen.station.{station.replace('_', '-')}", station.replace("_", " "))
    for station in STATIONS
}

_NO_LAMP: Final = plain("seen.lamps.none", "No lamp is lit.")
_LIT: Final = row("seen.lamps", "Lamps lit: {lamps}.", lamps=parts(", "))

_JOB_IS: Final = row("seen.job", "The job is {state}.", state=one_of(*JOB_STATES.values()))
_STEP_TRIM: Final = row(
    "seen.step.trim", "Step of the trim cut: {step}.", step=one_of(*STEPS.values())
)
_STEP_PIECE: Final = row(
    "seen.step.piece",
    "Step of piece {piece}: {step}.",
    piece=count(), step=one_of(*STEPS.values()),
)  # fmt: skip
_REASON: Final = row("seen.reason", "Reason: {reason}.", reason=part())
_COUNTERS: Final = row(
    "seen.counters",
    "Counters: wanted {wanted}, cut {cut}, strokes a piece {strokes}.",
    wanted=count(), cut=count(), strokes=count(),
)  # fmt: skip


def supply(session: Session) -> Message:
    """Return how the isolator, a lock, the emergency stop and control power stand."""
    bus = session.saw.bus
    said = [_ISOLATOR_ON if bus.driven("Q0") else _ISOLATOR_OFF]
    if session.lockout.locked:
        said.append(_YOUR_LOCK)
    if not bus.driven("S1"):
        said.append(_STOP_IN)
    if bus.driven("Q0"):
        said.append(_POWER_ON if session.saw.plant.supply.powered else _POWER_OFF)
    return _SUPPLY(parts=tuple(said))


def selectors(session: Session) -> Message:
    """Return which stations are in AUTO and which in HAND."""
    image = session.saw.controller.image
    auto = tuple(_STATION[s] for s in STATIONS if image[f"mode.{s}"] == "AUTO")
    hand = tuple(_STATION[s] for s in STATIONS if image[f"mode.{s}"] == "HAND")
    if not auto or not hand:
        return _ALL_IN(mode="AUTO" if auto else "HAND")
    return _SOME_IN(auto=auto, hand=hand)


def lamps(session: Session) -> Message:
    """Return which lamps are lit."""
    lit = tuple(lamp.word for lamp in desk.lit(session.saw.controller.image))
    return _LIT(lamps=lit) if lit else _NO_LAMP


def job(session: Session) -> Message:
    """Return the state of the job, its step, what it waits for, and the counters."""
    controller = session.saw.controller
    job = controller.job
    said = [_JOB_IS(state=JOB_STATES[job.state])]
    if job.state == "EXECUTE":
        step = STEPS[job.step]
        said.append(
            _STEP_TRIM(step=step) if job.trimming else _STEP_PIECE(piece=job.cut + 1, step=step)
        )
    said += [refusal.said for refusal in controller.waits_for()]
    if job.reason and job.state in _WITH_REASON:
        said.append(_REASON(reason=job.reason))
    said.append(_COUNTERS(wanted=job.wanted, cut=job.cut, strokes=job.strokes))
    return sentences(*said)
