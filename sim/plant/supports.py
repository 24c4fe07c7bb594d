"""What holds the bar besides the vises: bundle clamp, support arm, and the chock at the rollers.

Theory. Jaws that press from the side hold a row of bars through each other, and only as evenly as
the bars are equal: without the clamp a share of the clamping force, and less the more bars there are, is all
that holds the loosest. The clamp presses them down together. A bar too short to reach the shuttle
vise lies on the cutting vise's bed alone and hangs at its rear by a step, unless the arm hinged on
that vise is swung up under it; it must be folded before the shuttle comes that way. On its rollers
the bar rolls as soon as no vise holds it, unless the chock is in.
"""

from typing import Final

from sim.plant.bar import Bar
from sim.plant.surroundings import Site
from sim.trade.sections import bars_in

DOWN, UP = "down", "up"
CLAMP: Final = (UP, DOWN)
FOLDED, ARM_UP = "folded", "up"
ARM: Final = (FOLDED, ARM_UP)
CHOCK_OUT, CHOCK_IN = "out", "in"
CHOCK: Final = (CHOCK_OUT, CHOCK_IN)


class Supports:
    """Clamp and arm."""

    def __init__(self, site: Site, bar: Bar) -> None:
        self._site = site
        self._bar = bar
        self.clamp = UP
        self.arm = FOLDED
        self.chock = CHOCK_OUT

    def set_clamp(self, clamp: str) -> None:
        """Swing the bundle clamp down on the bars, or up."""
        self.clamp = clamp
        self._site.cut_changed()

    def set_arm(self, arm: str) -> None:
        """Swing the support arm up, or fold it away."""
        self.arm = arm

    def set_chock(self, chock: str) -> None:
        """Put the chock in before the bar at the rollers, or take it out."""
        self.chock = chock

    @property
    def bars(self) -> int:
        """How many bars lie in the vise."""
        return bars_in(self._bar.stock.section)

    @property
    def held_share(self) -> float:
        """Share of the vise's hold that the loosest bar gets, 0 to 1."""
        if self.bars == 1 or self.clamp == DOWN:
            return 1.0
        return self._site.machine.loose_share / self.bars

    @property
    def tilt_rad(self) -> float:
        """How far a short bar hangs from level, rad."""
        behind_m = -self._bar.rear_m
        if self.arm == ARM_UP or not 0.0 < behind_m < self._site.machine.jaw_front_m:
            return 0.0
        return self._site.machine.bed_step_m / behind_m
