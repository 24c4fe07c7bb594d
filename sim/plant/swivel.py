"""The swivel of the head: mitre, pivot locks, mitre lever, and the outfeed fence beside it.

Theory. The band pulls at an arm about the upright pivot. With the pivot locks tight for a square
cut, or the mitre lever tight for any, nothing gives that could be measured. Slack or loose, the
friction that is left gives like a spring, and the head stands askew by pull x arm / stiffness.
The stiffnesses are chosen for this saw.
"""

from math import radians
from typing import Final

from sim.plant.guide import SLACK, TIGHT
from sim.plant.surroundings import Site
from sim.trade.sections import mitre_factor

LOOSE: Final = "loose"
LEVERS: Final = (TIGHT, LOOSE)
BACK, IN_PLACE = "back", "in place"
FENCES: Final = (BACK, IN_PLACE)


class Swivel:
    """Mitre angle and what holds it."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self.mitre_deg = 0.0
        self.locks = TIGHT
        self.lever = TIGHT
        self.fence = IN_PLACE

    @property
    def mitre_rad(self) -> float:
        """Angle from the square cut, rad."""
        return radians(self.mitre_deg)

    @property
    def widening(self) -> float:
        """How many times as long the mitre makes the way through the bar."""
        return mitre_factor(self.mitre_rad)

    @property
    def fence_in_way(self) -> bool:
        """Whether the band would come down on the outfeed fence."""
        return self.mitre_deg > 0.0 and self.fence == IN_PLACE

    def set_mitre(self, mitre_deg: float) -> None:
        """Swing the head to an angle, degrees."""
        self.mitre_deg = mitre_deg
        self._site.cut_changed()

    def set_locks(self, locks: str) -> None:
        """Tighten or slacken the pivot locks."""
        self.locks = locks

    def set_lever(self, lever: str) -> None:
        """Tighten or loosen the mitre lever."""
        self.lever = lever

    def set_fence(self, fence: str) -> None:
        """Slide the outfeed fence back, or into place."""
        self.fence = fence
        self._site.cut_changed()

    def askew_rad(self, pull_n: float) -> float:
        """Return how far a pull of the band, N, turns the head, rad."""
        machine = self._site.machine
        give_rad_nm = 0.0
        if self.lever == LOOSE:
            give_rad_nm += 1.0 / machine.lever_loose_nm_rad
        if self.locks == SLACK and self.mitre_deg == 0.0:
            give_rad_nm += 1.0 / machine.locks_slack_nm_rad
        return pull_n * machine.yaw_arm_m * give_rad_nm
