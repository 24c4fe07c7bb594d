"""Everything that can be asked of the controller: which key asks, and which machine is asked.

A movement key moves its part for as long as it is held, and only outside PRODUCTION, where the job
has all parts. A palms key takes effect when both palm keys go down together after it.
"""

from dataclasses import dataclass
from typing import Final

from sim.signals import BY_KEY


@dataclass(frozen=True, slots=True)
class Action:
    """One command: `part.verb`."""

    name: str
    tag: str  # the key's wire
    machine: str
    event: str
    halt: str = ""  # the event on letting go, for keys that move things only while held
    palms: bool = False  # wants both palm keys (ISO 13851)
    on_release: bool = False  # takes effect when the key comes up

    @property
    def moves(self) -> bool:
        """Whether it moves a part of the saw, so that the job and a hand cannot both have it."""
        return bool(self.halt) or self.name == "band.run"


def _action(
    name: str,
    machine: str,
    event: str,
    halt: str = "",
    *,
    palms: bool = False,
    on_release: bool = False,
) -> Action:
    """Return an action; the key that asks for it has its name."""
    return Action(name, BY_KEY[name].tag, machine, event, halt, palms, on_release)


# fmt: off
ACTIONS: Final[tuple[Action, ...]] = (
    _action("supply.control_on", "supply", "CONTROL_ON"),
    _action("supply.reset", "supply", "RESET", on_release=True),
    _action("band.run", "band", "START", palms=True),
    _action("band.stop", "band", "STOP"),
    _action("cutting_vise.clamp", "cutting_vise", "CLAMP", halt="HALT"),
    _action("cutting_vise.release", "cutting_vise", "RELEASE", halt="HALT"),
    _action("shuttle_vise.clamp", "shuttle_vise", "CLAMP", halt="HALT"),
    _action("shuttle_vise.release", "shuttle_vise", "RELEASE", halt="HALT"),
    _action("shuttle.back", "shuttle", "GO_BACK", halt="HALT"),
    _action("shuttle.forward", "shuttle", "GO_FORWARD", halt="HALT"),
    _action("head.raise", "head", "RAISE", halt="HALT"),
    _action("head.lower", "head", "LOWER", halt="HALT"),
    _action("coolant.off", "coolant_choice", "CHOOSE_OFF"),
    _action("coolant.with_band", "coolant_choice", "CHOOSE_WITH_BAND"),
    _action("coolant.on", "coolant_choice", "CHOOSE_ON"),
    _action("job.reset", "job", "RESET"),
    _action("job.start", "job", "START", palms=True),
    _action("job.hold", "job", "HOLD"),
    _action("job.unhold", "job", "UNHOLD", palms=True),
    _action("job.complete", "job", "COMPLETE"),
    _action("job.stop", "job", "STOP"),
    _action("job.clear", "job", "CLEAR"),
    _action("job.new", "job", ""),
    _action("job.square", "first", "CHOOSE_SQUARE"),
    _action("job.straight", "first", "CHOOSE_STRAIGHT"),
)
# fmt: on

PARTS: Final = ("band", "cutting_vise", "shuttle_vise", "shuttle", "head", "coolant")
BY_NAME: Final = {row.name: row for row in ACTIONS}
BY_TAG: Final = {row.tag: row for row in ACTIONS}
MOVE: Final = tuple(row.name for row in ACTIONS if row.moves)
