"""The band's motor and variator, and the speed they give it.

Theory. The motor runs up and coasts down by constant ramps, as a share of its full speed; the band
runs at that share of the variator's dial, less what a damaged pulley slips. The variator's pulley
halves can only slide while the belt turns between them: driven at rest, they are forced. A band that
coasts cuts on as long as its monitor sees it turn: what it cuts is worked out in steps of its speed. A pull
beyond what wheels or belt pass on stalls the band under a running motor, and a motor that has lost a
phase does not start: both leave it drawing its starting current.
"""

from collections.abc import Callable
from math import ceil
from typing import Final

from sim.kernel.axis import Axis
from sim.kernel.motion import Ramp
from sim.plant.guide import Guide
from sim.plant.relay import Relay
from sim.plant.seat import Seat
from sim.plant.surroundings import Site
from sim.plant.tension import Tension
from sim.units import US

TURNS: Final = 0.05  # of full speed: B1, whose monitor sees rest below it
AT_SPEED: Final = 0.8  # of the dial: B2
SLIP_AT_WORST: Final = 0.5  # of the speed, with the pulley wholly damaged; chosen for this saw
COAST_STEPS: Final = (
    10  # of full speed, at each of which a cut of the coasting band is worked out anew
)
STEP_M_S: Final = 1 / 60  # of the dial, after which a cut under way is worked out anew
DAMAGE_EACH: Final = 0.3  # by one forcing at rest; chosen for this saw


class BandDrive:
    """Speed, and what makes it."""

    def __init__(self, site: Site) -> None:
        self._site = site
        self.changed: Callable[[], None] = lambda: None  # tells the head; until there is one
        self.at_work: Callable[[], bool] = lambda: False  # whether its teeth are on metal
        self.relay = Relay(site)
        self.guide = Guide(site)
        self.tension = Tension(site)
        self.seat = Seat(site, self.tension)
        self.belt = 1.0  # share of its pull that the variator's belt still passes on
        self.lining = 1.0  # share of its pull that the lining of the drive wheel still passes on
        self.stalled = False
        self.motor = Axis(site.clock, 0.0)  # share of full speed
        self.dial = Axis(site.clock, site.machine.band_low_m_s)  # m/s
        self.contactor = False
        self.turning = False
        """Whether it turns as fast as its standstill monitor B1 sees, or faster."""
        self._drive = 0  # of the variator: +1 faster, -1 slower
        self._damage = 0.0
        self.slip = 0.0
        """Share of the speed that a damaged pulley loses."""
        self.motor.mark("turns", TURNS, self._turns)
        # No switch is there; but until then the clock is not still.
        self.motor.mark("moves", 0.0, lambda _moves: None, includes=False)
        self.dial.mark("lowest", site.machine.band_low_m_s, self._left_lowest, includes=False)
        self._set_at_speed()
        self._coast_step = 0  # the one it leaves next
        self._way_m, self._way_us = 0.0, site.clock.now_us  # turned until then
        self._way_from = (0.0, self.dial.position)  # share and dial there, m/s
        self._ramp_per_s = 1.0  # of the motor's share, as it runs up or down now
        self.seat.way_m = lambda: self.way_m
        self._slides_us = site.clock.now_us  # since when the dial goes as it goes
        self._slides_from_m_s = self.dial.position

    @property
    def speed_m_s(self) -> float:
        """How fast the teeth run, m/s."""
        return self.motor.position * self.dial.position * (1.0 - self.slip)

    @property
    def way_m(self) -> float:
        """How far the band has turned since the saw was found, m: the area under its speed."""
        for_s = (self._site.clock.now_us - self._way_us) / US
        was, was_m_s = self._way_from
        here = self.motor.position
        ramp_s = min(abs(here - was) / self._ramp_per_s, for_s)
        share_s = (was + here) / 2.0 * ramp_s + here * (for_s - ramp_s)
        return self._way_m + share_s * (was_m_s + self.dial.position) / 2.0 * (1.0 - self.slip)

    def _count_way(self, ramp_per_s: float | None = None) -> None:
        """Take note of the way so far, before speed or dial go another way."""
        self._way_m, self._way_us = self.way_m, self._site.clock.now_us
        self._way_from = (self.motor.position, self.dial.position)
        self._ramp_per_s = ramp_per_s or self._ramp_per_s

    @property
    def jog_m(self) -> float:
        """How far one whole jog moves the band from rest, its coasting in it, m; by the dial as it is."""
        machine = self._site.machine
        share = min(machine.jog_s / machine.start_s, 1.0)  # of full speed, that it comes to
        driven_s = share * (machine.jog_s - min(machine.jog_s, machine.start_s) / 2.0)
        coasted_s = share * share * machine.coast_s / 2.0
        return self.dial.position * (1.0 - self.slip) * (driven_s + coasted_s)

    @property
    def jogs_a_turn(self) -> int:
        """How many whole jogs bring the band once round both wheels."""
        return ceil(self._site.machine.band_length_m / self.jog_m)

    @property
    def moves(self) -> bool:
        """Whether the band moves at all, however slowly."""
        return self.motor.position > 0.0

    @property
    def monitor_m_s(self) -> float:
        """The speed below which the standstill monitor B1 sees rest, m/s; by the dial as it is."""
        return TURNS * self.dial.position * (1.0 - self.slip)

    @property
    def cutting_speed_m_s(self) -> float:
        """The speed that a cut is planned with, m/s: the dial's while it is driven, that of its step while it coasts."""
        if not self.turning or self.stalled:
            return 0.0
        driven_m_s = self.dial.position * (1.0 - self.slip)
        return driven_m_s if self.contactor else driven_m_s * self._coasting

    @property
    def _coasting(self) -> float:
        """The share of full speed that a coasting band has in the middle of its present step."""
        step = min(int(self.motor.position * COAST_STEPS), COAST_STEPS - 1)
        return (step + 0.5) / COAST_STEPS

    @property
    def damage(self) -> float:
        """Damage to the variator pulley, 0 to 1."""
        return self._damage

    def set_damage(self, damage: float) -> None:
        """Set the damage of the variator pulley, 0 (sound) to 1."""
        self._count_way()
        self._damage = min(max(damage, 0.0), 1.0)
        self.slip = SLIP_AT_WORST * self._damage
        self._set_at_speed()
        self.changed()

    def _set_at_speed(self) -> None:
        self.motor.mark("at_speed", AT_SPEED / (1.0 - self.slip), self._at_speed)

    @property
    def pull_limit_n(self) -> float:
        """The most that wheels and belt pass on to the teeth, N."""
        belt_n = self._site.machine.belt_n * self.belt * (1.0 - self._damage)
        return min(self.tension.pull_limit_n * self.lining, belt_n)

    def wear_belt(self, belt: float) -> None:
        """Have the variator's belt pass on this share of its pull, 0 to 1."""
        self.belt = belt
        self._site.cut_changed()

    def glaze_lining(self, lining: float) -> None:
        """Have the lining of the drive wheel pass on this share of its pull, 0 to 1."""
        self.lining = lining
        self._site.cut_changed()

    def drive(self, on: bool) -> None:
        """Pull the band contactor in or let it drop."""
        self.contactor = on
        machine = self._site.machine
        here = self.motor.position
        self.stalled = on and self.relay.phase_lost and not self.turning
        self._count_way(1.0 / (machine.start_s if on else machine.coast_s))
        if on and not self.stalled:
            self.motor.follow(Ramp(here, 1.0, 1.0 / machine.start_s))
            if here < 1.0:
                self.relay.start((1.0 - here) * machine.start_s)
        elif not on:
            self.motor.follow(Ramp(here, 0.0, 1.0 / machine.coast_s))
            self.mark_steps()
        self.carry(0.0)
        self.changed()

    def stall(self) -> None:
        """Stand still under a running motor."""
        self.stalled = True
        self._count_way(1.0 / self._site.machine.stall_s)
        self.motor.follow(Ramp(self.motor.position, 0.0, 1.0 / self._site.machine.stall_s))
        self.carry(0.0)
        self.changed()

    def arrest(self) -> None:
        """Come to rest in the cut at once, without a drive."""
        self._count_way(1.0 / self._site.machine.stall_s)
        self.motor.follow(Ramp(self.motor.position, 0.0, 1.0 / self._site.machine.stall_s))

    def square_of(self, cutting_w: float) -> float:
        """Return (current / rated current) squared of the motor while the cut takes a power, W."""
        machine = self._site.machine
        idle_w = machine.idle_w * self.dial.position / machine.band_high_m_s
        return self.relay.square_at(idle_w + cutting_w / machine.drive_efficiency)

    def carry(self, square: float) -> None:
        """Load the motor for a cut with this mean of (current / rated current) squared; 0 for no cut."""
        if not self.contactor:
            self.relay.carry(0.0)
        elif self.stalled:
            self.relay.stand()
        else:
            self.relay.carry(square or self.square_of(0.0))

    def shift(self, way: int) -> None:
        """Drive the variator: +1 faster, -1 slower, 0 not."""
        if way == self._drive:
            return
        self._drive = way
        if way and not self.turning:
            self._force()
        self._slide()

    def _bend(self) -> None:
        """Tell the band how fast it is bent round its wheels; the coast-down counts as none."""
        speed_m_s, held = self.dial.position, 1.0 - self.slip
        now_us, was_m_s = self._site.clock.now_us, self._slides_from_m_s
        if speed_m_s != was_m_s:  # it was bent as if the dial had stood there
            more_m_s = speed_m_s - was_m_s
            slid_s = abs(more_m_s) / self._site.machine.variator_m_s2
            elapsed_s = (now_us - self._slides_us) / US
            self.tension.ran_on(more_m_s * (elapsed_s - slid_s / 2) * held)
        self._slides_us, self._slides_from_m_s = now_us, speed_m_s
        self.tension.run(speed_m_s * held if self.turning else 0.0)

    def _slide(self) -> None:
        machine = self._site.machine
        self._count_way()
        self._bend()
        self.dial.unmark("step")
        if self._drive == 0 or not self.turning:
            self.dial.stop()
            self.changed()
            return
        end = machine.band_high_m_s if self._drive > 0 else machine.band_low_m_s
        self.dial.follow(Ramp(self.dial.position, end, machine.variator_m_s2))
        self.mark_steps()

    def mark_steps(self) -> None:
        """Mark the next step of a speed that changes, if the band's teeth are on metal; also called when they come there."""
        slides = self._drive != 0 and self.turning
        if (self.contactor and not slides) or not self.at_work():
            return
        if slides and not self.dial.has("step"):
            next_m_s = self._next_step_m_s()
            self.dial.mark("step", next_m_s, self._stepped, includes=self._drive > 0)
        if not self.contactor and not self.motor.has("coast"):
            self._coast_step = min(int(self.motor.position * COAST_STEPS), COAST_STEPS - 1)
            if self._coast_step:
                self.motor.mark("coast", self._coast_step / COAST_STEPS, self._coasts)

    def _next_step_m_s(self) -> float:
        return self.dial.position + self._drive * STEP_M_S

    def _stepped(self, _beyond: bool) -> None:
        self._bend()
        self.changed()
        if self.at_work():
            self.dial.set_ahead("step", self._next_step_m_s())
        else:
            self.dial.unmark("step")

    def _force(self) -> None:
        self._site.tell("pulley-damaged")
        self.set_damage(self._damage + DAMAGE_EACH)

    def _turns(self, turning: bool) -> None:
        self.turning = turning
        self._site.bus.drive("B1", turning)
        self.guide.band_turns(turning)
        self.tension.band_turns(turning)
        self.seat.band_turns(turning)
        if not turning and self._drive:
            self._force()
        self._slide()
        self.changed()

    def _coasts(self, _faster: bool) -> None:
        if self.contactor:
            self.motor.unmark("coast")
            return
        self.changed()
        self._coast_step -= 1
        if self._coast_step and self.at_work():
            self.motor.set_ahead("coast", self._coast_step / COAST_STEPS)
        else:
            self.motor.unmark("coast")

    def _left_lowest(self, left: bool) -> None:
        self._site.bus.drive("B3", not left)

    def _at_speed(self, at_speed: bool) -> None:
        self._site.bus.drive("B2", at_speed)
        if at_speed:
            self.seat.at_speed()
