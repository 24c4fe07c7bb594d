"""The infeed hood: two positions over the shuttle and its vise, and the switch B43 that sees it.

Theory. Shuttle and shuttle vise stand as soon as their valves close, long before a hand that lifts the
hood is at them (ISO 13855, from memory), so it is not locked: the controller halts them in PRODUCTION.
An older saw has none; there its terminal B43 is bridged, and nothing but knowledge keeps a hand out.

Never here: what the controller does about it.
"""

from typing import Final

from sim.plant.surroundings import Site

HOOD_SHUT, HOOD_OPEN = "shut", "open"
HOOD: Final = (HOOD_SHUT, HOOD_OPEN)
NO_HOOD: Final = "none"


class Hood:
    """Whether there is one, and how it stands."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self._state = HOOD_SHUT

    @property
    def state(self) -> str:
        """How it stands; `none` on a saw without one."""
        return self._state if self._site.machine.infeed_hood else NO_HOOD

    def put(self, state: str) -> None:
        """Shut or open it."""
        self._state = state
        self.sense()

    def sense(self) -> None:
        """Show its switch what there is."""
        self._site.bus.drive("B43", self.state != HOOD_OPEN)
