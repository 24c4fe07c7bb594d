"""Everything that can be asked of the controller: which key asks, and which machine is asked."""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Action:
    """One command: `station.verb`."""

    name: str
    tag: str  # the key's wire
    machine: str
    event: str
    halt: str = ""  # the event on letting go, for keys that move things only while held
    two_hand: bool = False
    any_mode: bool = False  # may be pressed in HAND and in AUTO


# fmt: off
ACTIONS: Final[tuple[Action, ...]] = (
    Action("supply.control_on", "S4", "supply", "CONTROL_ON", two_hand=True, any_mode=True),
    Action("supply.reset", "S5", "band", "RESET", any_mode=True),
    Action("band.start", "S10", "band", "START", two_hand=True),
    Action("band.stop", "S11", "band", "STOP", any_mode=True),
    Action("cutting_vise.grip", "S20", "cutting_vise", "GRIP"),
    Action("cutting_vise.free", "S21", "cutting_vise", "FREE"),
    Action("shuttle_vise.grip", "S30", "shuttle_vise", "GRIP"),
    Action("shuttle_vise.free", "S31", "shuttle_vise", "FREE"),
    Action("shuttle.to_stop", "S40", "shuttle", "GO_TO_STOP", halt="HALT"),
    Action("shuttle.to_blade", "S41", "shuttle", "GO_TO_BLADE", halt="HALT"),
    Action("head.lift", "S50", "head", "LIFT", halt="HALT"),
    Action("head.lower", "S51", "head", "LOWER", halt="HALT"),
    Action("coolant.flow", "S60", "coolant", "FLOW"),
    Action("coolant.dry", "S61", "coolant", "DRY"),
    Action("job.arm", "S70", "job", "RESET", any_mode=True),
    Action("job.hold", "S71", "job", "HOLD", any_mode=True),
    Action("job.begin_on_trim", "S72", "job", "START", two_hand=True, any_mode=True),
    Action("job.begin_on_piece", "S73", "job", "START", two_hand=True, any_mode=True),
)
# fmt: on

STATIONS: Final = ("band", "cutting_vise", "shuttle_vise", "shuttle", "head", "coolant")
BY_NAME: Final = {row.name: row for row in ACTIONS}
BY_TAG: Final = {row.tag: row for row in ACTIONS}

# The selectors: which key turns which station, and to what.
SELECTORS: Final[dict[str, tuple[str, str]]] = {
    "S14": ("band", "HAND"), "S15": ("band", "AUTO"),
    "S24": ("cutting_vise", "HAND"), "S25": ("cutting_vise", "AUTO"),
    "S34": ("shuttle_vise", "HAND"), "S35": ("shuttle_vise", "AUTO"),
    "S44": ("shuttle", "HAND"), "S45": ("shuttle", "AUTO"),
    "S54": ("head", "HAND"), "S55": ("head", "AUTO"),
    "S64": ("coolant", "HAND"), "S65": ("coolant", "AUTO"),
}  # fmt: skip
