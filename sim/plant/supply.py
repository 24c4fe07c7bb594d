"""Control power, oil and air, as the parts feel them.

Theory. The air regulator holds its pressure while the air cock is open. Shut, the cock vents what is
behind it, and the pressure runs out exponentially within seconds; the pressure switch and the moment
at which air no longer carries the head are appointments on that curve. A padlock keeps the cock where
it was locked.
"""

from collections.abc import Callable
from typing import Final

from sim.kernel.clock import Appointment
from sim.kernel.settling import Settling
from sim.plant.surroundings import Site
from sim.units import US

OPEN, SHUT = "open", "shut"
COCKS: Final = (OPEN, SHUT)


class Supply:
    """What the valves are fed with."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self.regulator_pa = site.machine.air_normal_pa
        self.cock = OPEN
        self.oil_level = 1.0  # of a full tank
        self.powered = False  # K1 is in
        self.pump = False  # Q2 runs
        self.full = False  # the creep valve is open
        self.air_lost: Callable[[], None] = lambda: None  # tells the head; until there is one
        self._air = Settling(site.clock, self.regulator_pa, site.machine.air_vent_s)
        self._due: list[Appointment] = []

    @property
    def air_pa(self) -> float:
        """Pressure of the air over the oil, Pa."""
        return self._air.now

    @property
    def oil(self) -> bool:
        """Whether there is oil under pressure to move things with."""
        return self.powered and self.pump and self.oil_level > self._site.machine.oil_none

    @property
    def flow(self) -> float:
        """Share of its speed that the oil gives each part: 1, or little through a shut creep valve."""
        return 1.0 if self.full else self._site.machine.creep_share

    @property
    def air(self) -> bool:
        """Whether the air over the oil still carries the head."""
        return self.air_pa >= self._site.machine.air_hold_pa

    def set_air(self, pressure_pa: float) -> None:
        """Set the regulator, Pa; while the cock is open the line follows at once."""
        self.regulator_pa = pressure_pa
        self._breathe()

    def set_cock(self, cock: str) -> None:
        """Open the air cock, or shut it, which vents what is behind it."""
        self.cock = cock
        self._breathe()

    def _breathe(self) -> None:
        """Work out towards which pressure the line now goes, and when it passes the levels that matter."""
        if self.cock == OPEN:
            self._air.jump(self.regulator_pa)
            self._air.aim(self.regulator_pa)
        else:
            self._air.aim(0.0)
        for appointment in self._due:
            appointment.cancel()
        machine = self._site.machine
        levels_pa = (machine.air_switch_pa, machine.air_hold_pa)
        times_s = [self._air.time_to_s(level_pa) for level_pa in levels_pa]
        self._due = [
            self._site.clock.after(int(when_s * US) + 2, self._sank, slow=True)
            for when_s in times_s
            if when_s is not None
        ]
        self._sank()

    def _sank(self) -> None:
        self.sense()
        self.air_lost()

    def sense(self) -> None:
        """Show the switches what there is."""
        self._site.bus.drive("B61", self.air_pa >= self._site.machine.air_switch_pa)
        self._site.bus.drive("B62", self.oil_level >= self._site.machine.oil_low)
