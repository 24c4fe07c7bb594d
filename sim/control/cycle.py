"""The steps of one piece as a table: what is asked at each step, and when it is done."""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class CycleStep:
    """One step: what is asked of a part, and the states of its machine that follow."""

    part: str
    action: str  # its name
    under_way: str  # it does what was asked
    done: str  # it has done it


def _step(part: str, verb: str, under_way: str, done: str) -> CycleStep:
    return CycleStep(part, f"{part}.{verb}", under_way, done)


# fmt: off
STEPS: Final[dict[str, CycleStep]] = {
    "RELEASE_SHUTTLE_VISE": _step("shuttle_vise", "release", "RELEASING", "RELEASED"),
    "SHUTTLE_BACK": _step("shuttle", "back", "GOING_BACK", "BACK"),
    "CLAMP_SHUTTLE_VISE": _step("shuttle_vise", "clamp", "CLAMPING", "CLAMPED"),
    "RELEASE_CUTTING_VISE": _step("cutting_vise", "release", "RELEASING", "RELEASED"),
    "SHUTTLE_FORWARD": _step("shuttle", "forward", "GOING_FORWARD", "FORWARD"),
    "CLAMP_CUTTING_VISE": _step("cutting_vise", "clamp", "CLAMPING", "CLAMPED"),
    "CLAMP_TO_SQUARE": _step("cutting_vise", "clamp", "CLAMPING", "CLAMPED"),
    "BAND_TO_SPEED": _step("band", "run", "STARTING", "RUNNING"),
    "LOWER_HEAD": _step("head", "lower", "LOWERING", "DOWN"),
    "RAISE_HEAD": _step("head", "raise", "RAISING", "UP"),
    "SECURE_CUTTING_VISE": _step("cutting_vise", "clamp", "CLAMPING", "CLAMPED"),
    "SECURE_SHUTTLE_VISE": _step("shuttle_vise", "clamp", "CLAMPING", "CLAMPED"),
    "WITHDRAW": _step("head", "raise", "RAISING", "UP"),
}
# fmt: on

# What the job asks of the parts; whatever is not here only a key asks for.
JOB_ASKS: Final = frozenset(step.action for step in STEPS.values())

# While the cut runs, the shuttle goes back for the next piece.
RETURN_LANE: Final = ("RELEASE_SHUTTLE_VISE", "SHUTTLE_BACK")

# From these steps on the cut is finished before a hold takes effect.
IN_THE_CUT: Final = ("LOWER_HEAD", "RAISE_HEAD", "COUNT")

# What the parts of the saw do while they move by a key or by the job.
MOVING: Final = {
    part: tuple(dict.fromkeys(step.under_way for step in STEPS.values() if step.part == part))
    for part in ("cutting_vise", "shuttle_vise", "shuttle", "head")
}
