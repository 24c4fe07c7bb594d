"""What an action that was taken sets going in this mode and from this job, or that its part stands.

Theory. The control takes a command whether or not oil, air and motor obey it, and nobody needs a
look inside to see a part stand. Why it stands is told only where nothing is hidden.

Never here: why the control refuses.
"""

from collections.abc import Callable
from typing import Final

from sim.control.actions import BY_NAME
from sim.control.cycle import STEPS
from sim.control.nouns import THE
from sim.kernel.axis import Axis
from sim.plant.plant import Plant
from sim.session.session import Session
from sim.teaching import remarks, slips
from sim.words.message import NOTHING, Message

_AXIS: Final[dict[str, Callable[[Plant], Axis]]] = {
    "band": lambda plant: plant.band.motor,
    "cutting_vise": lambda plant: plant.cutting_vise.jaw,
    "shuttle_vise": lambda plant: plant.shuttle_vise.jaw,
    "shuttle": lambda plant: plant.shuttle.place,
    "head": lambda plant: plant.head.place,
}
_HAIR_M: Final = 1e-3  # less than anybody sees at the ring
_OIL: Final = "supply.oil_percent"
_STANDS_FOR: Final = {
    "head.raise": ("supply.air_cock", _OIL),
    "head.lower": ("head.feed_valve_mm_min",),
    "band.run": (),
}
"""The set points for which a part can stand though its action is taken; for the others it is the oil."""
_ASKED: Final = {step.action: step.under_way for step in STEPS.values()}
_STOPPED_ALREADY: Final = {"job.stop": remarks.NO_JOB, "band.stop": remarks.BAND_STANDS}
_OF_HELD: Final = {"job.stop": remarks.HELD_STOP, "job.hold": remarks.HELD_HOLD}


class Before:
    """How the job and each part stood at an instant, to tell later what came of an action."""

    def __init__(self, session: Session) -> None:
        self._at_us = session.saw.clock.now_us
        image = session.saw.controller.image
        self.job, self.band = image["job"], image["band"]
        self._was = {part: axis(session.saw.plant).position for part, axis in _AXIS.items()}

    def stopped(self, session: Session, action: str) -> bool:
        """Whether a stop key has been pressed that had nothing to stop."""
        if action == "job.stop":
            return self.job == "STOPPED"
        return self.band == "STOPPED" and session.saw.controller.image["job"] == self.job

    def stands(self, session: Session, action: str) -> bool:
        """Whether an action has been asked for in vain: its part has neither moved since nor moves now."""
        part = BY_NAME[action].machine
        axis = _AXIS[part](session.saw.plant)
        if axis.direction or axis.position != self._was[part]:
            return False
        asked = session.saw.controller.machines[part].state == _ASKED[action]
        return asked or session.saw.clock.now_us > self._at_us


def sets_going(session: Session, action: str, before: Before) -> Message:
    """Return what an action that was taken sets going in the mode as it is now.

    Args:
        session: It was taken there.
        action: Of the table of actions.
        before: How things stood before it was taken.
    """
    if BY_NAME[action].moves and before.stands(session, action):
        if action == "head.raise" and _above_stop(session):
            return remarks.ABOVE_STOP
        the = THE[BY_NAME[action].machine]
        slip = _slip(session, action)
        if slip:
            return remarks.STANDS_FOR(action=action, part=the, slip=slip)
        let_go = BY_NAME[action].halt and action not in session.saw.held
        return remarks.HOLD_IT(part=the) if let_go else remarks.STANDS(action=action, part=the)
    if action == "band.run" and session.saw.controller.image["mode"] == "MAINTENANCE":
        band = session.saw.plant.band
        return remarks.JOG(jog=session.machine.jog_s, way=band.jog_m, jogs=band.jogs_a_turn)
    if action in _STOPPED_ALREADY and before.stopped(session, action):
        return _STOPPED_ALREADY[action]
    job = session.saw.controller.job
    if action == "job.reset" and job.cut:
        return remarks.COUNT_KEPT(cut=job.cut, wanted=job.wanted)
    if before.job == "HELD" and action in _OF_HELD:
        return _OF_HELD[action]
    return BY_NAME[action].sets_going


def _above_stop(session: Session) -> bool:
    """Return whether the head stands above the notch of its ring, as who stands there sees."""
    head = session.saw.plant.head
    notch_m = head.height_stop.notch * session.machine.notch_step_m
    return head.place.position > notch_m + _HAIR_M


def _slip(session: Session, action: str) -> Message:
    """Return the slip for which the part of an action stands; nothing where something is hidden."""
    if session.hidden:
        return NOTHING
    points = _STANDS_FOR.get(action, (_OIL,))
    return next((found for point in points if (found := slips.slip(session, point))), NOTHING)
