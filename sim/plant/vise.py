"""A vise: a jaw slid up to the bar by hand, a short powered stroke, and clamping by oil.

Theory. The valve passes oil only while one of its coils is on, and a check valve keeps the clamping:
losing control power neither opens nor closes a vise, and when it returns no stroke goes on that it
broke off. The jaw meets the bar only if the gap left by hand is inside the powered stroke. That
clamping is stored energy: it stays for as long as nobody opens the oil relief, a screw that lets the
oil back into the tank. With the relief open the jaw is pressed by nothing.

A jaw that closes where there is no bar, or only the end of one, holds nothing and is shut: it stands
where the bar would have to be, and no bar comes in.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, inf
from typing import Final

from sim.kernel.axis import Axis
from sim.kernel.clock import Appointment
from sim.kernel.motion import Ramp
from sim.plant.lift import OPEN, SHUT
from sim.plant.supply import Supply
from sim.plant.surroundings import Site
from sim.trade.clamping import clamping_force_n, holding_force_n
from sim.units import US
from sim.words.fields import mm
from sim.words.message import row

VISES: Final = ("cutting_vise", "shuttle_vise")
JAW_GAPS: Final = {vise: f"{vise}.jaw_gap_mm" for vise in VISES}
"""The set point of the gap that each vise's jaw, fully back, leaves to the bar."""
_LEAST_GAP_M: Final = 1e-5  # a jaw that has come no further than this is not shut

_STOOD = row("harm.finger-room.detail", "It stood {gap} from the bar.", gap=mm())


@dataclass(frozen=True, slots=True)
class Around:
    """What a vise asks of, and tells, the rest of the machine."""

    has_bar: Callable[[], bool]  # enough of it to be held
    touches_bar: Callable[[], bool]  # any of it
    changed: Callable[[], None]


class Vise:
    """The cutting vise or the shuttle vise."""

    def __init__(
        self, site: Site, supply: Supply, switches: tuple[str, str], around: Around
    ) -> None:
        self._site = site
        self._supply = supply
        self._back_tag, self._clamped_tag = switches
        self._around = around
        self.jaw = Axis(site.clock, 0.0)  # m of powered stroke
        self._gap_m = site.machine.jaw_gap_m
        self._pressure_pa = site.machine.clamping_found_pa
        self.friction = site.machine.jaw_friction
        self.leak = 1.0  # share of the set pressure that arrives
        self.clamped = False
        self.shut = False  # closed to the width of the bar, or further, without holding it
        self.bears_n = inf  # what the bar bears with the jaw at the end of its stroke
        self.relief = SHUT  # its oil relief
        self._valve = ""  # the coil that is on: clamp, release, or neither
        self._rise: Appointment | None = None
        self._told = False  # that a finger fits between jaw and bar, since the jaw was back
        self.jaw.mark("back", 0.0, self._left_back, includes=False)

    @property
    def gap_m(self) -> float:
        """Distance from the jaw, fully back, to the bar, m."""
        return self._gap_m

    @property
    def finger_fits(self) -> bool:
        """Whether the jaw, fully back, leaves room for a finger before the bar."""
        return self._gap_m > self._site.machine.finger_m

    def slide_jaw(self, gap_m: float) -> None:
        """Slide the jaw, fully back, by hand to a gap, m."""
        self._gap_m = gap_m

    def draw_back(self) -> None:
        """Have the jaw fully back, as a fitter has it who presses the valve by hand."""
        self._let_go()
        self.jaw.put(0.0)
        self._set_shut(False)

    @property
    def back(self) -> bool:
        """Whether the jaw is fully back."""
        return not self.jaw.beyond("back")

    @property
    def set_pressure_pa(self) -> float:
        """The pressure its valve is set to, Pa."""
        return self._pressure_pa

    def set_pressure(self, pressure_pa: float) -> None:
        """Set the clamping pressure, Pa; it acts at once on a clamped bar."""
        self._pressure_pa = pressure_pa
        self._sense()
        self._around.changed()

    @property
    def pressure_pa(self) -> float:
        """What the gauge shows, Pa."""
        return self._pressure_pa * self.leak if self.clamped else 0.0

    @property
    def cylinder_n(self) -> float:
        """What its cylinder gives, N."""
        machine = self._site.machine
        return clamping_force_n(self.pressure_pa, machine.piston_m2, machine.jaw_efficiency)

    @property
    def force_n(self) -> float:
        """How hard it presses on the bar, N: as its cylinder does, or less where the jaw ends its stroke."""
        return min(self.cylinder_n, self.bears_n)

    @property
    def stroke_left_m(self) -> float:
        """What is left of its stroke where the jaw meets the bar, m."""
        return max(0.0, self._site.machine.powered_stroke_m - self._gap_m)

    @property
    def holding_n(self) -> float:
        """The pull along its jaws that it holds by friction, N."""
        return holding_force_n(self.friction, self.force_n)

    def oil_jaws(self, friction: float) -> None:
        """Have its jaws hold with another coefficient of friction."""
        self.friction = friction
        self._around.changed()

    def spoil(self, leak: float) -> None:
        """Have only this share of the set pressure arrive, 0 to 1."""
        self.leak = leak
        self._sense()
        self._around.changed()

    def pull(self, valve: str, on: bool) -> None:
        """Energise or drop a coil, `clamp` or `release`; with neither on the valve is shut."""
        if on:
            self._valve = valve
        elif self._valve == valve:
            self._valve = ""
        self.feel()

    def relieve(self, screw: str) -> None:
        """Turn its oil relief open or shut; open, the vise lets go."""
        self.relief = screw
        if screw == OPEN:
            self._let_go()
        self.feel()

    def feel(self) -> None:
        """Move as valve, oil and relief now say; called when one of them changed."""
        if not self._valve or self.relief == OPEN or not self._supply.oil:
            if self.jaw.moving:
                self.jaw.stop()
            self._drop_rise()
            return
        machine = self._site.machine
        here = self.jaw.position
        if self._valve == "clamp" and not self.clamped:
            self._mind_fingers()
            meets = not self.shut and self._reaches() and self._around.touches_bar()
            end = self._gap_m if meets else machine.powered_stroke_m
            if not meets:
                self._mark_shut()
            closing = Ramp(here, end, machine.jaw_m_s * self._supply.flow)
            self.jaw.follow(closing)
            if not meets:
                self._drop_rise()
            elif self._rise is None or here < end:  # else its pressure builds up already
                self._drop_rise()
                met_us = ceil((closing.time_to(end) or 0.0) * US)
                self._rise = self._site.clock.after(
                    met_us + round(machine.build_up_s * US), self._clamp
                )
        elif self._valve == "release":
            self._let_go()
            self.jaw.follow(Ramp(here, 0.0, machine.jaw_m_s * self._supply.flow))

    def _mind_fingers(self) -> None:
        """Tell of a jaw that closes over a gap in which a finger fits, once a stroke."""
        wide = self.finger_fits and self._around.has_bar()
        if wide and not self._told:
            self._told = True
            self._site.tell("finger-room", _STOOD(gap=self._gap_m))

    def _reaches(self) -> bool:
        return self._gap_m <= self._site.machine.powered_stroke_m

    def _mark_shut(self) -> None:
        """Mark where the jaw is as far closed as a bar is wide, if it gets so far."""
        if self._reaches():
            self.jaw.mark("shut", max(self._gap_m, _LEAST_GAP_M), self._set_shut)
        else:
            self.jaw.unmark("shut")

    def _set_shut(self, shut: bool) -> None:
        if shut is not self.shut:
            self.shut = shut
            self._around.changed()

    def lose_bar(self) -> None:
        """Hold nothing any more: the bar was drawn out of the jaws, and they stand where they held it."""
        self._let_go()
        self._mark_shut()
        self._set_shut(True)

    def _drop_rise(self) -> None:
        if self._rise is not None:
            self._rise.cancel()
            self._rise = None

    def _clamp(self) -> None:
        self._rise = None
        if not self._around.has_bar():
            self.lose_bar()
            return
        self.clamped = True
        self._sense()
        self._around.changed()

    def _let_go(self) -> None:
        self._drop_rise()
        self.bears_n = inf
        if self.clamped:
            self.clamped = False
            self._sense()
            self._around.changed()

    def _sense(self) -> None:
        held = self.clamped and self.pressure_pa >= self._site.machine.clamping_switch_pa
        self._site.bus.drive(self._clamped_tag, held)

    def _left_back(self, left: bool) -> None:
        if not left:
            self._told = False
        self._site.bus.drive(self._back_tag, not left)
