"""Everything that can be asked of the controller: which key asks, and which machine is asked."""

from dataclasses import dataclass
from typing import Final

from sim.signals import BY_KEY


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


def _action(
    name: str,
    machine: str,
    event: str,
    halt: str = "",
    *,
    two_hand: bool = False,
    any_mode: bool = False,
) -> Action:
    """Return an action; the key that asks for it has its name."""
    return Action(name, BY_KEY[name].tag, machine, event, halt, two_hand, any_mode)


# fmt: off
ACTIONS: Final[tuple[Action, ...]] = (
    _action("supply.control_on", "supply", "CONTROL_ON", two_hand=True, any_mode=True),
    _action("supply.reset", "band", "RESET", any_mode=True),
    _action("band.start", "band", "START", two_hand=True),
    _action("band.stop", "band", "STOP", any_mode=True),
    _action("cutting_vise.grip", "cutting_vise", "GRIP"),
    _action("cutting_vise.free", "cutting_vise", "FREE"),
    _action("shuttle_vise.grip", "shuttle_vise", "GRIP"),
    _action("shuttle_vise.free", "shuttle_vise", "FREE"),
    _action("shuttle.to_stop", "shuttle", "GO_TO_STOP", halt="HALT"),
    _action("shuttle.to_blade", "shuttle", "GO_TO_BLADE", halt="HALT"),
    _action("head.lift", "head", "LIFT", halt="HALT"),
    _action("head.lower", "head", "LOWER", halt="HALT"),
    _action("coolant.flow", "coolant", "FLOW"),
    _action("coolant.dry", "coolant", "DRY"),
    _action("job.arm", "job", "RESET", any_mode=True),
    _action("job.hold", "job", "HOLD", any_mode=True),
    _action("job.begin_on_trim", "job", "START", two_hand=True, any_mode=True),
    _action("job.begin_on_piece", "job", "START", two_hand=True, any_mode=True),
)
# fmt: on

STATIONS: Final = ("band", "cutting_vise", "shuttle_vise", "shuttle", "head", "coolant")
BY_NAME: Final = {row.name: row for row in ACTIONS}
BY_TAG: Final = {row.tag: row for row in ACTIONS}

# The selectors: which key turns which station, and to what.
SELECTORS: Final[dict[str, tuple[str, str]]] = {
    BY_KEY[f"{station}.{mode.lower()}"].tag: (station, mode)
    for station in STATIONS
    for mode in ("HAND", "AUTO")
}
