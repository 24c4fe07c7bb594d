"""The band, its motor and its variator.

Theory. The motor runs up and coasts down by constant ramps, as a share of its full speed; the band
runs at that share of the variator's dial, less what a damaged pulley slips. The variator's pulley
halves can only slide while the belt turns between them: driven at rest, they are forced.

Imports `kernel` and `surroundings`.
"""

from collections.abc import Callable
from typing import Final

from sim.kernel.axis import Axis
from sim.kernel.motion import Ramp
from sim.plant.surroundings import Site

TURNS: Final = 0.05  # of full speed: B1
AT_SPEED: Final = 0.8  # of the dial: B2
SLIP_AT_WORST: Final = 0.5  # of the speed, with the pulley wholly damaged; chosen for this saw
DAMAGE_EACH: Final = 0.3  # by one forcing at rest; chosen for this saw


class Band:
    """Speed, and what makes it."""

    def __init__(self, site: Site, changed: Callable[[], None]) -> None:
        self._site = site
        self._changed = changed
        self.motor = Axis(site.clock, 0.0)  # share of full speed
        self.dial = Axis(site.clock, site.machine.band_low_m_s)  # m/s
        self.contactor = False
        self._drive = 0  # of the variator: +1 faster, -1 slower
        self._damage = 0.0
        self.motor.mark("turns", TURNS, self._turns)
        self._set_at_speed()

    @property
    def speed_m_s(self) -> float:
        """How fast the teeth run."""
        return self.motor.position * self.dial.position * (1.0 - self.slip)

    @property
    def turning(self) -> bool:
        """Whether the band moves."""
        return self.motor.beyond("turns")

    @property
    def cutting_speed_m_s(self) -> float:
        """The speed a cut can count on: that of the driven band, 0 while it is not driven."""
        if not (self.contactor and self.turning):
            return 0.0
        return self.dial.position * (1.0 - self.slip)

    @property
    def slip(self) -> float:
        """Share of the speed that a damaged pulley loses."""
        return SLIP_AT_WORST * self._damage

    @property
    def damage(self) -> float:
        """Damage to the variator pulley, 0 to 1."""
        return self._damage

    def set_damage(self, damage: float) -> None:
        """Damage or mend the variator pulley."""
        self._damage = min(max(damage, 0.0), 1.0)
        self._set_at_speed()
        self._changed()

    def _set_at_speed(self) -> None:
        self.motor.mark("at_speed", AT_SPEED / (1.0 - self.slip), self._at_speed)

    def drive(self, on: bool) -> None:
        """Pull the band contactor in or let it drop."""
        self.contactor = on
        machine = self._site.machine
        here = self.motor.position
        if on:
            self.motor.follow(Ramp(here, 1.0, 1.0 / machine.start_s))
        else:
            self.motor.follow(Ramp(here, 0.0, 1.0 / machine.coast_s))
        self._changed()

    def shift(self, way: int) -> None:
        """Drive the variator: +1 faster, -1 slower, 0 not."""
        if way == self._drive:
            return
        self._drive = way
        if way and not self.turning:
            self._force()
        self._slide()

    def _slide(self) -> None:
        machine = self._site.machine
        if self._drive == 0 or not self.turning:
            self.dial.stop()
            self._changed()
            return
        end = machine.band_high_m_s if self._drive > 0 else machine.band_low_m_s
        self.dial.follow(Ramp(self.dial.position, end, machine.variator_m_s2))

    def _force(self) -> None:
        self._site.tell("pulley-damaged")
        self.set_damage(self._damage + DAMAGE_EACH)

    def _turns(self, turning: bool) -> None:
        self._site.bus.drive("B1", turning)
        if not turning and self._drive:
            self._force()
        self._slide()
        self._changed()

    def _at_speed(self, at_speed: bool) -> None:
        self._site.bus.drive("B2", at_speed)
