"""The height stop of the head: a rod with notches, and a ring with the upper limit switch on it.

Theory. The ring's spring plunger snaps into a notch and carries the ring. Turned aside, the plunger
rides on the plain land between the notches, and friction alone carries it: every time the head comes
up to the ring, the knock lets it creep a little down the rod, and the next limit makes that much earlier.
"""

from typing import Final

from sim.plant.machine import Machine

HOME, ON_THE_LAND = "home", "on the land"
PLUNGER: Final = (HOME, ON_THE_LAND)


class HeightStop:
    """Where the ring is on its rod."""

    def __init__(self, machine: Machine) -> None:
        self._machine = machine
        self.notch = machine.notches // 2 - 1
        self.plunger = HOME
        self.crept_m = 0.0  # down from its notch

    @property
    def lowest_m(self) -> float:
        """How low the ring can creep: half a step above the bed."""
        return self._machine.notch_step_m / 2

    @property
    def height_m(self) -> float:
        """Height at which the upper switch makes, m."""
        notch_m = self.notch * self._machine.notch_step_m
        return max(notch_m - self.crept_m, min(notch_m, self.lowest_m))

    def set_ring(self, notch: int, plunger: str) -> None:
        """Put the ring at a notch, its plunger home in it or on the land beside it."""
        self.notch = notch
        self.plunger = plunger
        self.crept_m = 0.0

    def knock(self) -> bool:
        """Have the head come up to the ring; return whether it crept."""
        if self.plunger == HOME or self.height_m <= self.lowest_m:
            return False
        self.crept_m += self._machine.ring_creep_m
        return True

    def ride(self, strokes: int) -> None:
        """Have the ring ridden on the land for so many strokes of the head."""
        self.plunger = ON_THE_LAND
        self.crept_m = strokes * self._machine.ring_creep_m
