"""Which outputs a state energises: data, and one function that reads it.

No output without control power (I1) is the first rule of `energised`.
"""

from collections.abc import Mapping
from typing import Final

# (machine, state) -> outputs that are on.
ON_IN: Final[dict[tuple[str, str], tuple[str, ...]]] = {
    ("supply", "ON"): ("K1", "Q2"),
    ("band", "STARTING"): ("Q1",),
    ("band", "RUNNING"): ("Q1",),
    ("cutting_vise", "GRIPPING"): ("Y31",),
    ("cutting_vise", "FREEING"): ("Y33",),
    ("shuttle_vise", "GRIPPING"): ("Y32",),
    ("shuttle_vise", "FREEING"): ("Y34",),
    ("shuttle", "TO_BLADE"): ("Y21",),
    ("shuttle", "TO_STOP"): ("Y22",),
    ("head", "LIFTING"): ("Y11",),
    ("head", "LOWERING"): ("Y12",),
    ("coolant", "FLOWING"): ("Q3",),
}

OF_MACHINE: Final[dict[str, tuple[str, ...]]] = {
    machine: tuple(dict.fromkeys(o for (m, _), on in ON_IN.items() if m == machine for o in on))
    for machine in dict.fromkeys(machine for machine, _ in ON_IN)
}


def energised(states: Mapping[str, str]) -> frozenset[str]:
    """Return the outputs that are on, from the machines' states by name."""
    if states["supply"] != "ON":
        return frozenset()
    return frozenset(o for item in states.items() for o in ON_IN.get(item, ()))
