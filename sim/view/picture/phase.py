"""The phase line: what the saw is doing now, in one sentence; of a job, the step of its cycle.

Read from the controller's own tables and from what moves; nothing here decides anything.
"""

from collections.abc import Callable
from typing import Final

from sim.control.nouns import state_word
from sim.plant.plant import Plant
from sim.plant.vise import Vise
from sim.session.session import Session
from sim.session.sights.controller_words import console_lit
from sim.session.sights.known import hides
from sim.words.fields import part
from sim.words.message import Message, plain, row

_STEPS: Final = {
    "RELEASE_SHUTTLE_VISE": plain("phase.release-shuttle-vise", "The shuttle's jaws open."),
    "SHUTTLE_BACK": plain("phase.shuttle-back", "The shuttle goes back empty, to fetch the next length."),
    "CLAMP_SHUTTLE_VISE": plain("phase.clamp-shuttle-vise", "The shuttle's jaws close on the bar."),
    "RELEASE_CUTTING_VISE": plain("phase.release-cutting-vise", "The cutting jaws open."),
    "SHUTTLE_FORWARD": plain("phase.shuttle-forward", "The shuttle brings the bar forward, as far as its length."),
    "CLAMP_CUTTING_VISE": plain("phase.clamp-cutting-vise", "The cutting jaws close on the bar."),
    "CLAMP_TO_SQUARE": plain("phase.clamp-to-square", "The cutting jaws close, to square the end of the bar."),
    "BAND_TO_SPEED": plain("phase.band-to-speed", "The band comes up to speed."),
    "LOWER_HEAD": plain("phase.lower-head", "The head comes down towards the bar."),
    "RAISE_HEAD": plain("phase.raise-head", "The head goes up again."),
    "COUNT": plain("phase.count", "The piece is counted."),
    "SECURE_CUTTING_VISE": plain("phase.secure-cutting-vise", "The cutting jaws close, and nothing is cut."),
    "SECURE_SHUTTLE_VISE": plain("phase.secure-shuttle-vise", "The shuttle's jaws close, and nothing is cut."),
    "WITHDRAW": plain("phase.withdraw", "The job is broken off: the head goes up."),
}  # fmt: skip
_WAITS: Final = row("phase.waits", "The job waits for this step: {step}.", step=part())
_CUTS: Final = plain("phase.cuts", "The band saws through the bar.")
_DARK: Final = plain("phase.dark", "The console is dark.")
_OFF: Final = plain("phase.off", "Control is off.")
_WRECKED: Final = plain("phase.wrecked", "The run has ended.")
_UP: Final = plain("phase.up", "The head goes up.")
_DOWN: Final = plain("phase.down", "The head comes down.")
_FORWARD: Final = plain("phase.forward", "The shuttle goes forward.")
_BACK: Final = plain("phase.back", "The shuttle goes back.")
_RUNS: Final = plain("phase.runs", "The band runs free.")
_RESTS: Final = plain("phase.rests", "The saw stands still.")
_PAUSES: Final = ("HELD", "HOLDING", "STOPPED", "ABORTED", "SUSPENDED")


def _closes(vise: Vise) -> bool:
    return vise.jaw.moving or vise.clamped or vise.jaw.position >= vise.gap_m


def _opens(vise: Vise) -> bool:
    return vise.jaw.moving or vise.back


# By what is seen to move, so that the line never says of a part that stands that it moves.
_HAPPENS: Final[dict[str, Callable[[Plant], bool]]] = {
    "RELEASE_SHUTTLE_VISE": lambda plant: _opens(plant.shuttle_vise),
    "CLAMP_SHUTTLE_VISE": lambda plant: _closes(plant.shuttle_vise),
    "SECURE_SHUTTLE_VISE": lambda plant: _closes(plant.shuttle_vise),
    "RELEASE_CUTTING_VISE": lambda plant: _opens(plant.cutting_vise),
    "CLAMP_CUTTING_VISE": lambda plant: _closes(plant.cutting_vise),
    "CLAMP_TO_SQUARE": lambda plant: _closes(plant.cutting_vise),
    "SECURE_CUTTING_VISE": lambda plant: _closes(plant.cutting_vise),
    "SHUTTLE_BACK": lambda plant: plant.shuttle.place.rate > 0.0,
    "SHUTTLE_FORWARD": lambda plant: plant.shuttle.place.rate < 0.0,
    "BAND_TO_SPEED": lambda plant: plant.band.turning,
    "LOWER_HEAD": lambda plant: plant.head.place.rate < 0.0,
    "RAISE_HEAD": lambda plant: plant.head.place.rate > 0.0,
    "WITHDRAW": lambda plant: plant.head.place.rate > 0.0,
}


def phase(session: Session) -> Message:
    """Return what the saw is doing, as far as eye and console tell it."""
    saw, plant = session.saw, session.saw.plant
    if plant.site.wrecked:
        return _WRECKED
    if plant.head.cutting is not None:
        return _CUTS
    moves = _moves(session)
    job = saw.controller.job
    lit = console_lit(session)
    if lit and job.step in _STEPS and job.state not in _PAUSES:
        happens = _HAPPENS.get(job.step)
        if happens is None or happens(plant):
            return _STEPS[job.step]
        if moves is None:
            return _WAITS(step=state_word("cycle", job.step))
    if moves is not None:
        return moves
    if not lit:
        return _DARK
    if not plant.supply.powered and not hides(session):
        return _OFF
    return _RESTS


def _moves(session: Session) -> Message | None:
    """Return what is seen to move, None where nothing does."""
    plant = session.saw.plant
    if plant.shuttle.place.moving:
        return _BACK if plant.shuttle.place.rate > 0.0 else _FORWARD
    if plant.head.place.moving:
        return _UP if plant.head.place.rate > 0.0 else _DOWN
    if plant.band.turning:
        return _RUNS
    return None
