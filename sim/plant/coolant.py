"""The coolant: a pump and a tank.

Imports `surroundings` only.
"""

from sim.plant.surroundings import Site


class Coolant:
    """Level and flow."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self.level = 0.8  # of a full tank; the switch makes at 0.2
        self.pump = False

    @property
    def flowing(self) -> bool:
        """Whether coolant reaches the cut."""
        return self.pump and self.level > 0.05

    def set_level(self, level: float) -> None:
        """Fill or empty the tank, 0 to 1."""
        self.level = level
        self.sense()

    def sense(self) -> None:
        """Show the level switch what there is."""
        self._site.bus.drive("B63", self.level >= 0.2)
