"""Words for how the machine stands: what somebody in front of it sees, part by part.

Lengths are to the eye: whole millimetres along the bar, tens in height. What only an inspection
shows (the pin, the backlash, what a gauge or a tachometer reads) is not said here.

Never here: the lists and reports.
"""

from collections.abc import Callable
from typing import Final

from sim.control import lamps
from sim.control.actions import STATIONS
from sim.plant.vise import Vise
from sim.session.session import Session
from sim.text.page import counted
from sim.units import MM

_JOB: Final = {
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

_TOUCHES_M: Final = 0.5 * MM  # nearer than that it lies on the bar, to the eye
_WITH_REASON: Final = ("HOLDING", "HELD", "STOPPING", "STOPPED", "ABORTING", "ABORTED")


def look(session: Session) -> tuple[str, ...]:
    """Return sentences for every part of the machine, in the order in which a bar meets them."""
    return tuple(told(session).values())


def told(session: Session) -> dict[str, str]:
    """Return the same by the names of the parts."""
    said = {part: say(session) for part, say in _PARTS.items()}
    return {part: sentence for part, sentence in said.items() if sentence}


def _supply(session: Session) -> str:
    bus = session.saw.bus
    said = ["The isolator is on" if bus.driven("Q0") else "The isolator is off"]
    if session.lockout.locked:
        said.append("with your lock on it")
    if not bus.driven("S1"):
        said.append("the emergency stop is pressed in")
    if bus.driven("Q0"):
        said.append(
            "control power is on" if session.saw.plant.supply.powered else "control power is off"
        )
    return f"{', '.join(said)}."


def _selectors(session: Session) -> str:
    image = session.saw.controller.image
    in_auto = [_words(s) for s in STATIONS if image[f"mode.{s}"] == "AUTO"]
    in_hand = [_words(s) for s in STATIONS if image[f"mode.{s}"] == "HAND"]
    if not in_auto or not in_hand:
        return f"All stations are in {'AUTO' if in_auto else 'HAND'}."
    return f"In AUTO: {', '.join(in_auto)}. In HAND: {', '.join(in_hand)}."


def _lamps(session: Session) -> str:
    lit = [str(lamp.word) for lamp in lamps.lit(session.saw.controller.image)]
    return f"Lamps lit: {', '.join(lit)}." if lit else "No lamp is lit."


def _bar(session: Session) -> str:
    bar = session.saw.plant.bar
    section = bar.stock.section
    front_mm = round(bar.front_m / MM)
    end = f"{front_mm} mm past" if front_mm >= 0 else f"{-front_mm} mm short of"
    return (
        f"The bar, {bar.stock.material.name} {section.width_m / MM:.0f} mm wide and "
        f"{section.height_m / MM:.0f} mm high, is {bar.length_m:.2f} m long; "
        f"its end stands {end} the blade."
    )


def _vise(name: str, vise: Vise) -> str:
    if vise.gripping:
        return f"The {name} grips the bar."
    if vise.jaw.moving:
        return f"The {name} jaw moves {'out' if vise.jaw.rate > 0 else 'back'}."
    if vise.back:
        return f"The {name} is free, its jaw fully back."
    return f"The {name} jaw stands out and grips nothing."


def _shuttle(session: Session) -> str:
    shuttle = session.saw.plant.shuttle
    from_mm = round(shuttle.place.position / MM)
    if shuttle.place.moving:
        where = "its length stop" if shuttle.place.rate > 0 else "the blade"
        load = " with the bar" if shuttle.carrying else ""
        return f"The shuttle runs to {where}{load}, {from_mm} mm from the cutting vise."
    if shuttle.place.position <= 0.0:
        return "The shuttle stands forward at the cutting vise."
    if shuttle.place.beyond("stop"):
        return "The shuttle stands at its length stop."
    return f"The shuttle stands {from_mm} mm from the cutting vise."


def _band(session: Session) -> str:
    motor, dial = session.saw.plant.band.motor, session.saw.plant.band.dial
    if motor.moving:
        does = "runs up" if motor.rate > 0 else "coasts down"
    else:
        does = "turns" if motor.position > 0.0 else "stands still"
    return f"The band {does}; its dial is at {dial.position * 60:.0f} m/min."


def _head(session: Session) -> str:
    head, bar = session.saw.plant.head, session.saw.plant.bar
    here_m = head.place.position
    if head.cutting is not None:
        depth_mm = (bar.height_m - here_m) / MM
        return f"The head cuts, about {_tens(depth_mm)} mm down in {bar.height_m / MM:.0f} mm."
    rate = head.place.rate if head.place.moving else 0.0
    does = "rises" if rate > 0 else "comes down" if rate < 0 else "stands"
    if here_m <= 0.0:
        return f"The head {does}, the band down through the place of the bar."
    height = f"about {_tens(here_m / MM)} mm above the bed"
    if abs(here_m - bar.height_m) < _TOUCHES_M:
        return f"The head {does}, the band {height}, on top of the bar."
    where = "clear above" if here_m > bar.height_m else "below the top of"
    return f"The head {does}, the band {height}, {where} the bar."


def _coolant(session: Session) -> str:
    return f"The coolant {'flows' if session.saw.plant.coolant.flowing else 'does not flow'}."


def _job(session: Session) -> str:
    controller = session.saw.controller
    job = controller.job
    said = [f"The job is {_JOB[job.state]}."]
    if job.state == "EXECUTE":
        trim = " of the trim cut" if job.trimming else f" of piece {job.cut + 1}"
        said.append(f"Step{trim}: {STEPS[job.step]}.")
    said += [f"{r.sentence} {r.remedy}".strip() for r in controller.waits_for()]
    if job.reason and job.state in _WITH_REASON:
        said.append(f"Reason: {job.reason}.")
    said.append(f"Counters: wanted {job.wanted}, cut {job.cut}, strokes a piece {job.strokes}.")
    return " ".join(said)


def _outfeed(session: Session) -> str:
    trims = sum(1 for cut in session.saw.cuts if cut.trim and cut.length_m > 0.0)
    if not session.tally.pieces and not trims:
        return "Nothing lies on the outfeed."
    ends = [counted(trims, "trimmed end")] if trims else []
    lies = ends + ([counted(session.tally.pieces, "piece")] if session.tally.pieces else [])
    return f"On the outfeed: {' and '.join(lies)}."


def _run(session: Session) -> str:
    if session.saw.plant.site.wrecked:
        return "The run has ended: nobody would go on after this."
    return "The session is closed." if session.closed else ""


def _words(station: str) -> str:
    return station.replace("_", " ")


def _tens(length_mm: float) -> int:
    return 10 * round(length_mm / 10)


_PARTS: Final[dict[str, Callable[[Session], str]]] = {
    "bench": lambda s: s.banner,
    "supply": _supply,
    "selectors": _selectors,
    "lamps": _lamps,
    "bar": _bar,
    "cutting vise": lambda s: _vise("cutting vise", s.saw.plant.cutting_vise),
    "shuttle vise": lambda s: _vise("shuttle vise", s.saw.plant.shuttle_vise),
    "shuttle": _shuttle,
    "band": _band,
    "head": _head,
    "coolant": _coolant,
    "outfeed": _outfeed,
    "job": _job,
    "run": _run,
}
