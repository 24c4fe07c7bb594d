"""Control power, oil and air, as the parts feel them.

Imports `surroundings` only.
"""

from sim.plant.surroundings import Site


class Supply:
    """What the valves are fed with."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self.air_pa = site.machine.air_normal_pa
        self.oil_level = 1.0  # of a full tank; the switch makes at 0.3
        self.powered = False  # K1 is in
        self.pump = False  # Q2 runs

    @property
    def oil(self) -> bool:
        """Whether there is oil under pressure to move things with."""
        return self.powered and self.pump and self.oil_level > 0.05

    @property
    def air(self) -> bool:
        """Whether the air over the oil still carries the head."""
        return self.air_pa >= 1e5

    def sense(self) -> None:
        """Show the switches what there is."""
        self._site.bus.drive("B61", self.air_pa >= self._site.machine.air_switch_pa)
        self._site.bus.drive("B62", self.oil_level >= 0.3)
