"""The tension of the band: a hand screw against spring washers, a gauge and a switch.

Theory. The screw sets the stress of the band at rest. A warm band is longer; the spring washers
give most of that back, the rest of E alpha dT is lost. Round the wheels the band is bent besides,
and the weld has to stand both; each turn it is bent twice, and in the end it cracks from its gullets
(`sim.trade.life.bends_to_break`). A slack band climbs off its wheels; the pull that the wheels
pass on is Euler and Eytelwein's (`sim.trade.band`).
"""

from sim.kernel.clock import Appointment
from sim.kernel.settling import Settling
from sim.plant.surroundings import Site
from sim.trade.band import stress_lost_to_heat_pa, wheel_bending_stress_pa
from sim.trade.life import bends_to_break
from sim.units import US
from sim.words.fields import mpa, number
from sim.words.message import Message, row

_BROKE = row(
    "harm.band-broken.detail",
    "Tension {tension} and bending round the wheels make {total}; the weld can take {weld}.",
    tension=mpa(), total=mpa(), weld=mpa(),
)  # fmt: skip
_RAN_OFF = row(
    "harm.band-thrown.detail",
    "Its tension was {tension}; it stays on from {least}.",
    tension=mpa(), least=mpa(),
)  # fmt: skip

_TIRED = row(
    "harm.band-tired.detail",
    "Tension {tension} and bending {bending}: it lasted {turns} thousand turns of that.",
    tension=mpa(), bending=mpa(), turns=number(),
)  # fmt: skip
_WHEELS = 2


class Tension:
    """Screw, spring washers and the switch on them."""

    def __init__(self, site: Site) -> None:
        self._site = site
        machine = site.machine
        self.strip = machine.strip
        self._bending_pa = wheel_bending_stress_pa(machine.strip, machine.wheel_m)
        self.set_pa = machine.tension_found_pa
        self.slack = 0.0  # share of the screw's stress that weak washers fail to pass on
        self.turning = False  # the band is
        self.parted = False  # it has broken, or been thrown off its wheels
        self.off = False  # it was taken off its wheels
        self._warm_k = Settling(site.clock, 0.0, machine.warm_up_s)
        self._due: Appointment | None = None
        self._tired = 0.0  # share of the bends that it stands, when it was last reckoned
        self._reckoned_us = 0
        self._tires_s = 0.0  # share a second, as it runs now
        self._speed_m_s = 0.0
        self._cracks: Appointment | None = None

    @property
    def stress_pa(self) -> float:
        """What the gauge shows, Pa: stress of a strand, less what heat and weak washers take."""
        return max(0.0, self.cold_pa - self._lost_pa(self._warm_k.now))

    @property
    def cold_pa(self) -> float:
        """Stress of a strand with the band as cold as the saw, Pa; nothing of a band that is off."""
        return 0.0 if self.parted or self.off else self.set_pa * (1.0 - self.slack)

    def _lost_pa(self, warm_k: float) -> float:
        return self._site.machine.heat_felt * stress_lost_to_heat_pa(self.strip, warm_k)

    def set_screw(self, stress_pa: float) -> None:
        """Turn the hand screw to a stress, Pa."""
        self.set_pa = stress_pa
        self._changed()

    def take_off(self, off: bool) -> None:
        """Have no band on the wheels, or one again."""
        if off != self.off:
            self.off = off
            self._changed()

    def weaken(self, slack: float) -> None:
        """Have the spring washers fail to pass on a share of the stress, 0 to 1."""
        self.slack = slack
        self._changed()

    @property
    def tired(self) -> float:
        """Share of the bends round its wheels that it stands and has had, 0 to 1."""
        return self._tired + self._tires_s * (self._site.clock.now_us - self._reckoned_us) / US

    def renew(self, tired: float = 0.0) -> None:
        """Have another band on the wheels, that has had a share of the bends it stands."""
        self._tired, self._reckoned_us = tired, self._site.clock.now_us
        self.run(self._speed_m_s)

    @property
    def _bends(self) -> float:
        """How many bends it stands as it is tensioned."""
        return bends_to_break(self.cold_pa, self._bending_pa)

    def run(self, speed_m_s: float) -> None:
        """Have it run round its wheels at a speed, m/s, until told otherwise."""
        self._tired, self._reckoned_us = self.tired, self._site.clock.now_us
        self._speed_m_s, self._tires_s = speed_m_s, 0.0
        if self._cracks is not None:
            self._cracks.cancel()
            self._cracks = None
        bends = self._bends
        if speed_m_s <= 0.0 or self.parted or bends <= 0.0:
            return  # one that stands no bend at all is broken by its tension
        self._tires_s = _WHEELS * speed_m_s / self._site.machine.band_length_m / bends
        left_s = max(1.0 - self._tired, 0.0) / self._tires_s
        self._cracks = self._site.clock.after(int(left_s * US) + 1, self._crack, slow=True)

    def ran_on(self, way_m: float) -> None:
        """Take note that it has run so much further than it was told, m."""
        bends = self._bends
        if bends > 0.0:
            self._tired += _WHEELS * way_m / self._site.machine.band_length_m / bends

    def _crack(self) -> None:
        turns = self._bends / _WHEELS / 1000.0
        self._part(
            "band-tired", _TIRED(tension=self.cold_pa, bending=self._bending_pa, turns=turns)
        )

    def _changed(self) -> None:
        self._site.cut_changed()
        if self._speed_m_s > 0.0:
            self.run(self._speed_m_s)
        self._plan()
        self.sense()

    @property
    def tight(self) -> bool:
        """Whether the band is tight enough for its switch."""
        return self._site.machine.tension_low_pa <= self.stress_pa

    @property
    def too_tight(self) -> bool:
        """Whether the band is tighter than its other switch lets pass."""
        return self.stress_pa > self._site.machine.tension_high_pa

    @property
    def pull_limit_n(self) -> float:
        """The most that the wheels pass on to the band as cold as the saw, N."""
        return self._site.machine.wheels_pull_n(self.cold_pa)

    def warm(self, warm_k: float) -> None:
        """Have the band run towards being so much warmer than the saw, K."""
        self._warm_k.aim(warm_k)
        if self._due is not None or warm_k > 0.0:
            self._plan()

    def _plan(self) -> None:
        """Make the appointment for the warmth at which the switch opens or makes again."""
        if self._due is not None:
            self._due.cancel()
            self._due = None
        spare_pa = self.cold_pa - self._site.machine.tension_low_pa
        level_k = spare_pa / self._lost_pa(1.0)
        if level_k <= 0.0 or max(self._warm_k.now, self._warm_k.target) < level_k:
            return
        when_s = self._warm_k.time_to_s(level_k)
        if when_s is not None:
            # A microsecond more, so that it lies past the level when the call comes.
            self._due = self._site.clock.after(int(when_s * US) + 2, self.sense, slow=True)

    def band_turns(self, turning: bool) -> None:
        """Take note that the band runs or stands."""
        self.turning = turning
        self._strain()

    def sense(self) -> None:
        """Show the switch the tension there is."""
        self._site.bus.drive("B51", self.tight)
        self._site.bus.drive("B54", not self.too_tight)
        self._strain()

    def _strain(self) -> None:
        """Tell of a band drawn too far, or of one that runs slack; neither is on its wheels any more."""
        if self.parted:
            return
        machine = self._site.machine
        stress_pa = self.stress_pa
        total_pa = stress_pa + self._bending_pa
        if total_pa > machine.band_strength_pa:
            self._part(
                "band-broken",
                _BROKE(tension=stress_pa, total=total_pa, weld=machine.band_strength_pa),
            )
        elif self.turning and stress_pa < machine.throw_pa:
            self._part("band-thrown", _RAN_OFF(tension=stress_pa, least=machine.throw_pa))

    def _part(self, harm: str, detail: Message) -> None:
        """Tell of a band that is off, and let its washers go slack."""
        self._site.tell(harm, detail)
        self.parted = True
        self.run(0.0)
        self.sense()
