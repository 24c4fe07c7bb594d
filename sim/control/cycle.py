"""The steps of one piece as a table: what is asked at each step, and when it is done."""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class CycleStep:
    """One step: what is asked of a station, and the states of its machine that follow."""

    station: str
    verb: str
    under_way: str  # it does what was asked
    done: str  # it has done it

    @property
    def action(self) -> str:
        """The action's name."""
        return f"{self.station}.{self.verb}"


# fmt: off
STEPS: Final[dict[str, CycleStep]] = {
    "FREE_SHUTTLE_VISE": CycleStep("shuttle_vise", "free", "FREEING", "OPEN"),
    "SHUTTLE_TO_STOP": CycleStep("shuttle", "to_stop", "TO_STOP", "AT_STOP"),
    "GRIP_SHUTTLE_VISE": CycleStep("shuttle_vise", "grip", "GRIPPING", "GRIPPED"),
    "FREE_CUTTING_VISE": CycleStep("cutting_vise", "free", "FREEING", "OPEN"),
    "SHUTTLE_TO_BLADE": CycleStep("shuttle", "to_blade", "TO_BLADE", "FORWARD"),
    "GRIP_CUTTING_VISE": CycleStep("cutting_vise", "grip", "GRIPPING", "GRIPPED"),
    "GRIP_FOR_TRIM": CycleStep("cutting_vise", "grip", "GRIPPING", "GRIPPED"),
    "BAND_TO_SPEED": CycleStep("band", "start", "STARTING", "RUNNING"),
    "LOWER_HEAD": CycleStep("head", "lower", "LOWERING", "DOWN"),
    "LIFT_HEAD": CycleStep("head", "lift", "LIFTING", "UP"),
}
# fmt: on

# While the cut runs, the shuttle goes back for the next piece.
RETURN_LANE: Final = ("FREE_SHUTTLE_VISE", "SHUTTLE_TO_STOP")

# From these steps on the cut is finished before a hold takes effect.
IN_THE_CUT: Final = ("LOWER_HEAD", "LIFT_HEAD", "COUNT")
