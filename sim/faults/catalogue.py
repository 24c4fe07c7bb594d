"""The catalogue of faults: every cause that a drill can hide and a trainee can name.

One file a family; here they are joined. Causes in the wiring stand apart: most of them are alike to all
but a meter on terminals, and are thought of where there is one.
"""

from typing import Final

from sim.bugs import TableError
from sim.faults.actuators import ACTUATOR_ROWS
from sim.faults.consumables import CONSUMABLE_ROWS
from sim.faults.fault import Fault
from sim.faults.mechanical import MECHANICAL_ROWS
from sim.faults.power import POWER_ROWS
from sim.faults.sensors import SENSOR_ROWS
from sim.faults.set_up import CLEARANCE_M, SET_UP_ROWS
from sim.faults.supply import SUPPLY_ROWS
from sim.faults.wiring import WIRING_ROWS

__all__ = ["CATALOGUE", "CLEARANCE_M", "EVERY"]

_ROWS: Final = (
    *SET_UP_ROWS, *SENSOR_ROWS, *ACTUATOR_ROWS, *MECHANICAL_ROWS, *SUPPLY_ROWS, *POWER_ROWS, *CONSUMABLE_ROWS,
)  # fmt: skip


def _by_name(rows: tuple[Fault, ...]) -> dict[str, Fault]:
    names = [row.name for row in rows]
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise TableError(f"two faults are called {twice[0]}", "catalogue")
    return dict(zip(names, rows, strict=True))


CATALOGUE: Final = _by_name(_ROWS)
EVERY: Final = _by_name((*_ROWS, *WIRING_ROWS))
"""The catalogue, and the causes in the wiring."""
