"""Which outputs are on: data, and the one function that reads it.

Without control power nothing is on (I1), whatever the rows below say.
"""

from collections.abc import Mapping
from typing import Any, Final

from sim.control.table import TABLES

# (machine, state) -> outputs that are on.
ON_IN: Final[dict[tuple[str, str], tuple[str, ...]]] = {
    ("supply", "ON"): ("K1", "Q2"),
    ("band", "STARTING"): ("Q1",),
    ("band", "RUNNING"): ("Q1",),
    ("mode", "MANUAL"): ("Y13",),  # shut, it lets the oil only creep
    ("mode", "PRODUCTION"): ("Y13",),
    ("cutting_vise", "CLAMPING"): ("Y31",),
    ("cutting_vise", "RELEASING"): ("Y33",),
    ("shuttle_vise", "CLAMPING"): ("Y32",),
    ("shuttle_vise", "RELEASING"): ("Y34",),
    ("shuttle", "GOING_FORWARD"): ("Y21",),
    ("shuttle", "GOING_BACK"): ("Y22",),
    ("head", "RAISING"): ("Y11",),
    ("head", "LOWERING"): ("Y12",),
    ("coolant", "FLOWING"): ("Q3",),
}

OF_MACHINE: Final[dict[str, tuple[str, ...]]] = {
    machine: tuple(dict.fromkeys(o for (m, _), on in ON_IN.items() if m == machine for o in on))
    for machine in dict.fromkeys(machine for machine, _ in ON_IN)
}

# The variator has no states: each of its two keys drives one output while it is down alone.
VARIATOR: Final = "variator"
VARIATOR_KEYS: Final = {"S12": "M3", "S13": "M2"}

# In which states of a machine something of it is driven.
DRIVEN: Final[dict[str, tuple[str, ...]]] = {
    machine: tuple(state for owner, state in ON_IN if owner == machine) for machine in OF_MACHINE
}

OWNED: Final = {**OF_MACHINE, VARIATOR: tuple(VARIATOR_KEYS.values())}
"""Owner -> its outputs; every output has one owner."""


Put = tuple[tuple[str, bool], ...]
"""Outputs, each with whether it is on."""


def _put(owner: str, on: tuple[str, ...]) -> Put:
    return tuple((tag, tag in on) for tag in OWNED[owner])


_OFF: Final = {owner: _put(owner, ()) for owner in OWNED}
_IN: Final = {
    table.name: {
        state: _put(table.name, ON_IN.get((table.name, state), ())) for state in table.states
    }
    for table in TABLES
    if table.name in OF_MACHINE
}
_DOWN: Final = {key: _put(VARIATOR, (tag,)) for key, tag in VARIATOR_KEYS.items()}


def put_on(owner: str, image: Mapping[str, Any]) -> Put:
    """Return each output of a machine or of the variator, and whether it is on with an image."""
    if image["supply"] != "ON":
        return _OFF[owner]
    if owner == VARIATOR:
        down = [key for key in VARIATOR_KEYS if image[key]]
        return _DOWN[down[0]] if len(down) == 1 else _OFF[VARIATOR]
    return _IN[owner][image[owner]]
