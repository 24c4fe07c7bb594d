"""Where the parts of a machine are, from its file; what no file tells is a choice for the picture.

The wheels, and what hangs on them, are drawn at a part of their size: as large as they are they would fill
the picture, and the cut would be a speck in it. All that the bar meets is drawn as large as it is.
"""

from dataclasses import dataclass
from typing import Final

from sim.plant.machine import Machine
from sim.trade.sections import Section

HEAD_SHARE: Final = 0.55  # of its wheels' size, at which the head is drawn
PIVOT_Y: Final = 0.50
FLOOR_Z: Final = -0.27
TABLE_Z: Final = -0.022  # top of the outfeed
RAIL_Y: Final = (0.105, -0.335)
FRONT_Y: Final = -0.385  # of handwheels and tables
ROD_Y: Final = 0.60
JAW_DEEP_M: Final = 0.05
_JAW_HIGH_M: Final = (0.045, 0.13)
_UNDER_TOP: Final = 0.75  # of the bar, that the near jaw is high, so that the bar is seen over it


@dataclass(frozen=True, slots=True)
class Sizes:
    """Of one machine with one bar, m."""

    machine: Machine
    section: Section

    @property
    def width_m(self) -> float:
        """Of the bar, from jaw to jaw."""
        return self.section.width_m

    @property
    def height_m(self) -> float:
        """Of the bar."""
        return self.section.height_m

    @property
    def near_jaw_m(self) -> float:
        """Height of the jaws on our side."""
        low, high = _JAW_HIGH_M
        return min(max(self.height_m * _UNDER_TOP, low), high)

    @property
    def far_jaw_m(self) -> float:
        """Height of the jaws that stand fast."""
        low, high = _JAW_HIGH_M
        return min(max(self.height_m * 1.15, low + 0.03), high + 0.03)

    @property
    def wheel_r_m(self) -> float:
        """Radius of a wheel as drawn."""
        return self.machine.wheel_m / 2 * HEAD_SHARE

    @property
    def near_wheel_y(self) -> float:
        """Middle of the wheel on our side."""
        return self.machine.fixed_guide_m - self.machine.guide_high_m - 0.55 * self.wheel_r_m

    @property
    def far_wheel_y(self) -> float:
        """Middle of the wheel at the pivot."""
        return self.machine.fixed_guide_m + 0.06 + self.wheel_r_m

    @property
    def shuttle_x(self) -> tuple[float, float]:
        """Of the shuttle's jaws when forward."""
        machine = self.machine
        return -(machine.jaw_front_m + machine.jaw_length_m), -machine.jaw_front_m

    @property
    def cutting_x(self) -> tuple[float, float]:
        """Of the jaws of the cutting vise."""
        return -self.machine.cutting_jaw_m, -0.006

    @property
    def rod_top_m(self) -> float:
        """Top of the rod of the height stop."""
        return self.machine.notches * self.machine.notch_step_m + 0.03
