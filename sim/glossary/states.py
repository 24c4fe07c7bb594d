"""What each state of the controller's machines means, a sentence or two.

A state is what the controller has seen by its switches. A switch can lie, so no row says that something
is safe.

Never here: which states there are, and what can follow (see `control.table`).
"""

from typing import Final

from sim.words.message import NOTHING, Message, plain

_VISE: Final = {
    "RELEASED": "The jaw is back, and the vise holds nothing.",
    "CLAMPING": "The jaw closes: fingers out.",
    "RELEASING": "The jaw opens.",
    "BETWEEN": "The jaw is neither back nor clamped: do not count on it to hold the bar.",
    "CLAMPED": "Its pressure switch has made.",
}
_TEXTS: Final[dict[str, dict[str, str]]] = {
    "supply": {
        "DEAD": "No voltage comes from the isolator, so nothing is driven. The line side of the isolator may be live all the same.",
        "TRIPPED": "The safety circuit is open, so nothing is driven. Reset closes it, once no emergency stop is pressed in.",
        "OFF": "The safety circuit is closed, but nothing is driven until control is switched on.",
        "ON": "Control power is on, and the oil pump runs. What its interlocks allow can be driven.",
    },
    "mode": {
        "NONE": "The mode switch is being turned, or its key is out. No movement key is taken.",
        "MANUAL": "A part moves while its key is held; the band runs until it is stopped.",
        "MAINTENANCE": "One part creeps or jogs while its key and the enabling device are held. It is no lock-out.",
        "PRODUCTION": "The job has all parts, and the movement keys are dead.",
    },
    "band": {
        "STOPPED": "The band is not driven, and its standstill relay has seen it at rest.",
        "STARTING": "The band is driven, and is not at its speed yet.",
        "RUNNING": "The band is driven, and was seen at its speed.",
        "COASTING": "The band is no longer driven, and turns still. It cuts until it stands.",
        "TRIPPED": "Something that latches has stopped the band. Find the cause, then press reset.",
    },
    "cutting_vise": _VISE,
    "shuttle_vise": _VISE,
    "shuttle": {
        "FORWARD": "The shuttle stands forward, at the cutting vise.",
        "GOING_BACK": "The shuttle goes back to its length stop.",
        "BETWEEN": "The shuttle is between its ends, and is not driven.",
        "GOING_FORWARD": "The shuttle goes forward, with the bar if its vise is clamped.",
        "BACK": "The shuttle stands back, at its length stop.",
    },
    "head": {
        "UP": "The head was seen at its height stop. No valve is a holding device: it may sink.",
        "LOWERING": "The head is let down, as fast as the feed valve lets it.",
        "BETWEEN": "The head is between its limits, and is not driven. It may sink.",
        "RAISING": "The head is raised.",
        "DOWN": "The head was seen at its lower limit, where a cut is through.",
    },
    "coolant": {
        "OFF": "No coolant is asked for.",
        "FLOWING": "Coolant is asked for. Whether it flows, only the nozzle shows.",
    },
    "coolant_choice": {
        "OFF": "No coolant, whatever the band does.",
        "WITH_BAND": "Coolant comes and goes with the band.",
        "ON": "Coolant flows until it is switched off.",
    },
    "first": {
        "SQUARE": "The job begins by squaring the end of the bar. That cut is not counted.",
        "STRAIGHT": "The job begins with a piece, so the end must be square already.",
    },
    "job": {
        "STOPPED": "The job is stopped. Reset makes it ready.",
        "RESETTING": "The job is made ready.",
        "IDLE": "The job is ready, and waits for its start.",
        "STARTING": "The start was taken.",
        "EXECUTE": "The job runs, and moves parts by itself.",
        "COMPLETING": "The job comes to its end in good order.",
        "COMPLETE": "The job has come to its end. With run-on minutes the band turns still.",
        "HOLDING": "The job ends the step under way, and is held then.",
        "HELD": "The job waits, and goes on after unhold. A hold protects nobody.",
        "UNHOLDING": "The job goes on after a hold.",
        "STOPPING": "The job is broken off; parts may move until it is stopped.",
        "ABORTING": "The job is broken off at once.",
        "ABORTED": "The job was broken off at once. Check positions, then clear it.",
        "CLEARING": "The job is cleared.",
    },
    "cycle": {
        "PARKED": "No step of the cycle is under way.",
        "RELEASE_SHUTTLE_VISE": "The shuttle vise opens, so that the shuttle can go back alone.",
        "CLAMP_TO_SQUARE": "The cutting vise clamps the bar for the squaring cut.",
        "SHUTTLE_BACK": "The shuttle goes back to its length stop.",
        "CLAMP_SHUTTLE_VISE": "The shuttle vise clamps the bar.",
        "RELEASE_CUTTING_VISE": "The cutting vise opens, so that the bar can be fed.",
        "SHUTTLE_FORWARD": "The shuttle feeds the bar forward.",
        "CLAMP_CUTTING_VISE": "The cutting vise clamps the bar for the cut.",
        "BAND_TO_SPEED": "The band comes to its speed before the head is let down.",
        "LOWER_HEAD": "The head comes down, and the band cuts.",
        "RAISE_HEAD": "The head is raised out of the cut.",
        "COUNT": "The piece is counted.",
        "SECURE_CUTTING_VISE": "The cutting vise clamps the bar before the job ends.",
        "SECURE_SHUTTLE_VISE": "The shuttle vise clamps the bar before the job ends.",
        "WITHDRAW": "The head is raised out of the bar, since the job was broken off.",
    },
}  # fmt: skip
_MEANS: Final[dict[tuple[str, str], Message]] = {
    (machine, state): plain(f"state.{machine}.{state}".replace("_", "-").lower(), text)
    for machine, texts in _TEXTS.items()
    for state, text in texts.items()
}


def meaning(machine: str, state: str) -> Message:
    """Return what a state of a machine means; nothing where there is no such state."""
    return _MEANS.get((machine, state), NOTHING)
