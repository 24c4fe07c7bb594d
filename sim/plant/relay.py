"""The overload relay of the band motor, class 10, and the three phases it watches.

Theory. `sim.trade.motor`: the relay's heat follows the square of the current ratio with a lag, and
it trips at a level. At a steady load that moment has a closed form, so it is one appointment. A cut counts with
the mean square of its current. With a phase lost the other two carry sqrt(3) times the current for
the same power, and a motor at rest does not start at all: it stands and draws its starting current.
After a trip it is reset by hand, when it has cooled.
"""

from typing import Final

from sim.kernel.clock import Appointment
from sim.kernel.settling import Settling
from sim.plant.machine import Machine
from sim.plant.surroundings import Site
from sim.trade.motor import (
    TIME_CONSTANT_S,
    TRIP_FACTOR,
    Motor,
    current_ratio,
    heat_after,
    rated_current_a,
)
from sim.units import US
from sim.words.fields import amperes, seconds
from sim.words.message import row

TRIPS_AT: Final = TRIP_FACTOR**2
SET, TRIPPED = "set", "tripped"
_PHASE_LOST_SQUARE: Final = 3.0  # sqrt(3) times the current at the same power, from memory
_STARTING_CURRENT: Final = (
    6.0  # by rated current, motor at rest; from memory, with a phase lost too
)

_TRIPPED: Final = row(
    "harm.overload-trip.detail",
    "The motor drew {current} with the relay set to {setting}; it can be reset in {wait}.",
    current=amperes(1), setting=amperes(1), wait=seconds(),
)  # fmt: skip


def motor_of(machine: Machine) -> Motor:
    """Return the motor of a machine."""
    return Motor(
        machine.motor_w, machine.voltage_v,
        machine.power_factor, machine.motor_efficiency,
    )  # fmt: skip


class Relay:
    """The relay F1: its setting, its heat, and whether it has tripped."""

    def __init__(self, site: Site) -> None:
        self._site = site
        machine = site.machine
        self.motor = motor_of(machine)
        self._rated_a = rated_current_a(self.motor)
        self.setting_a = round(self._rated_a, 1)
        self.phase_lost = False
        self.tripped = False
        self.square = 0.0  # mean square of the motor's current by its rated one, all phases sound
        self.stands = False  # fed, and not turning
        self._heat = Settling(site.clock, 0.0, TIME_CONSTANT_S)
        self._due: Appointment | None = None

    @property
    def heat(self) -> float:
        """The relay's heat: a current at its setting brings it to 1, and at `TRIPS_AT` it trips."""
        return self._heat.now

    @property
    def current_a(self) -> float:
        """What a clamp meter on a sound phase shows, A."""
        return float(self._through_relay**0.5) * self._rated_a

    def square_at(self, shaft_w: float) -> float:
        """Return (current / rated current) squared of the motor at a shaft power, W."""
        return current_ratio(shaft_w, self.motor) ** 2

    def set_current(self, setting_a: float) -> None:
        """Turn its dial to a current, A."""
        self.setting_a = setting_a
        self._aim()

    def lose_phase(self, lost: bool) -> None:
        """Lose one of the three phases, or have it back."""
        self.phase_lost = lost
        self._aim()

    def carry(self, square: float) -> None:
        """Take note of another load: its mean of (current / rated current) squared."""
        if square != self.square or self.stands:
            self.square = square
            self.stands = False
            self._aim()

    def stand(self) -> None:
        """Take note that the motor is fed and stands."""
        self.square = _STARTING_CURRENT**2
        self.stands = True
        self._aim()

    def start(self, duration_s: float) -> None:
        """Add the heat of a start that lasts so long, s, at once."""
        ratio = _STARTING_CURRENT * self._rated_a / self.setting_a
        self._heat.jump(heat_after(self._heat.now, ratio, duration_s))
        self._plan()

    @property
    def _through_relay(self) -> float:
        """(Current / rated current) squared in the sound phases."""
        lost = self.phase_lost and not self.stands
        return self.square * (_PHASE_LOST_SQUARE if lost else 1.0)

    def _aim(self) -> None:
        target = self._through_relay * (self._rated_a / self.setting_a) ** 2
        self._heat.aim(target)
        if self._due is not None or target > TRIPS_AT:
            self._plan()

    def _plan(self) -> None:
        if self._due is not None:
            self._due.cancel()
            self._due = None
        if self.tripped:
            return
        if self._heat.now >= TRIPS_AT:
            self._due = self._site.clock.after(0, self._trip)
            return
        if self._heat.target > TRIPS_AT:
            when_s = self._heat.time_to_s(TRIPS_AT)
            if when_s is not None:
                self._due = self._site.clock.after(int(when_s * US) + 1, self._trip, slow=True)

    def _trip(self) -> None:
        self._due = None
        current_a = self.current_a
        wait_s = self.trip()
        self._site.tell(
            "overload-trip",
            _TRIPPED(current=current_a, setting=self.setting_a, wait=wait_s),
        )

    def trip(self) -> float:
        """Trip, by heat or by its test button; return how long it would take to cool, s."""
        self.tripped = True
        self.sense()
        return self._cooling_s(0.0)

    def _cooling_s(self, towards: float) -> float:
        cool = self._site.machine.relay_cool
        if self._heat.now <= cool:
            return 0.0
        rest = Settling(self._site.clock, self._heat.now, TIME_CONSTANT_S)
        rest.aim(towards)
        return rest.time_to_s(cool) or 0.0

    @property
    def too_hot_s(self) -> float:
        """How long until it lets itself be reset, the motor at rest; 0 when it does now."""
        return self._cooling_s(0.0)

    def reset(self) -> bool:
        """Press its reset button; return whether it stays in."""
        if self.tripped and self.too_hot_s <= 0.0:
            self.tripped = False
            self.sense()
            self._plan()
        return not self.tripped

    def sense(self) -> None:
        """Show its contact."""
        self._site.bus.drive("F1", not self.tripped)
