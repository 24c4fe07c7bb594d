"""Everything on the machine that a hand can set, as one table in shop units.

The window, the terminal, scenario files and the autopilot all go through these rows: name, unit,
limits, how to read it, how to set it, and when it cannot be set.
"""

from typing import Final

from sim.plant.set_points.band import BAND_ROWS
from sim.plant.set_points.bar import BAR_ROWS
from sim.plant.set_points.head import HEAD_ROWS
from sim.plant.set_points.row import SetPoint, Setting
from sim.plant.set_points.supply import SUPPLY_ROWS

__all__ = ["BY_NAME", "SET_POINTS", "SetPoint", "Setting"]

SET_POINTS: Final[tuple[SetPoint, ...]] = (*SUPPLY_ROWS, *BAND_ROWS, *BAR_ROWS, *HEAD_ROWS)

BY_NAME: Final = {row.name: row for row in SET_POINTS}
