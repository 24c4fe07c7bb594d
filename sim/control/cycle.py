"""The steps of one piece as a table: what is asked at each step, and when it is done.

`skips` lets a step that is already done be passed over without asking. Imports nothing of `sim`.
"""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Step:
    """One step: the action asked of a station, and the state that ends it."""

    action: str
    done: str  # the machine's state, the machine being the action's own


STEPS: Final[dict[str, Step]] = {
    "FREE_SHUTTLE_VISE": Step("shuttle_vise.free", "OPEN"),
    "SHUTTLE_TO_STOP": Step("shuttle.to_stop", "AT_STOP"),
    "GRIP_SHUTTLE_VISE": Step("shuttle_vise.grip", "GRIPPED"),
    "FREE_CUTTING_VISE": Step("cutting_vise.free", "OPEN"),
    "SHUTTLE_TO_BLADE": Step("shuttle.to_blade", "FORWARD"),
    "GRIP_CUTTING_VISE": Step("cutting_vise.grip", "GRIPPED"),
    "GRIP_FOR_TRIM": Step("cutting_vise.grip", "GRIPPED"),
    "BAND_TO_SPEED": Step("band.start", "RUNNING"),
    "LOWER_HEAD": Step("head.lower", "DOWN"),
    "LIFT_HEAD": Step("head.lift", "UP"),
}

# While the cut runs, the shuttle goes back for the next piece.
RETURN_LANE: Final = ("FREE_SHUTTLE_VISE", "SHUTTLE_TO_STOP")

# From these steps on the cut is finished before a hold takes effect.
IN_THE_CUT: Final = ("LOWER_HEAD", "LIFT_HEAD", "COUNT")
