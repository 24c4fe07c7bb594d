"""What the goals of a lesson can measure on the machine, beyond signals, states and settings.

Never here: set points, which have a table of their own.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.saw import Saw
from sim.units import BAR, MM


@dataclass(frozen=True, slots=True)
class Measure:
    """One thing that a rule or a gauge would show."""

    name: str
    title: str
    unit: str
    read: Callable[[Saw], float]


_ROWS: Final = (
    Measure(
        "bar.front_mm", "the end of the bar, past the blade", "mm",
        lambda saw: saw.plant.bar.front_m / MM,
    ),
    Measure(
        "bar.length_mm", "the bar that is left", "mm",
        lambda saw: saw.plant.bar.length_m / MM,
    ),
    Measure(
        "shuttle.back_mm", "the shuttle, back from the cutting vise", "mm",
        lambda saw: saw.plant.shuttle.place.position / MM,
    ),
    Measure(
        "head.height_mm", "the band above the bed", "mm",
        lambda saw: saw.plant.head.place.position / MM,
    ),
    Measure(
        "head.over_bar_mm", "the band above the top of the bar", "mm",
        lambda saw: (saw.plant.head.place.position - saw.plant.bar.height_m) / MM,
    ),
    Measure(
        "cutting_vise.grip_bar", "the grip gauge of the cutting vise", "bar",
        lambda saw: saw.plant.cutting_vise.pressure_pa / BAR,
    ),
    Measure(
        "shuttle_vise.grip_bar", "the grip gauge of the shuttle vise", "bar",
        lambda saw: saw.plant.shuttle_vise.pressure_pa / BAR,
    ),
)  # fmt: skip

MEASURES: Final = {row.name: row for row in _ROWS}
