"""The hydraulic circuit of the lift: what oil, air in it, and its screws do to the head.

Theory. One pump feeds both vises, the shuttle and the lift. Its oil goes through a filter and the
raise valve under the piston of the lift, and a check valve keeps it there. On the way down the weight
of the head drives that oil out through the lower valve, the exhaust throttle of the lift, the creep
valve and the feed valve, each of which lets no more through than it is open for; the feed relief sets
how hard the head may press on the work. How fast it comes down is in `trade.descent`.

Air in the oil gives like a spring: the head stands until the oil has given way and then jumps
(`kernel.motion.Jerky`). Behind a throttle that is nearly shut the oil carries a share of the weight:
the head is slow, springs down when the work under it gives way, and stops short of its lower limit.

No valve is a holding device. Without control power the lower valve and the check valve behind it hold
the head or let it sink, as the saw is built; a feed valve that is shut still lets it creep. The air
over the oil carries the head behind them: let out without control power, the head comes down on every
saw.

The oil relief is a screw: open, it lets the oil under the piston back into the tank, and the head
comes down as far as it can. The hand pump, with a check valve of its own, presses oil under the piston
by strokes, without any power.
"""

from typing import Final

from sim.plant.machine import Machine
from sim.plant.supply import Supply
from sim.trade.descent import descent_m_s, needle_m_s, orifice_for_m2
from sim.units import GRAVITY_M_S2

SHUT_M_S = 1e-6  # a feed valve that lets less through is fully shut
SHUT, OPEN = "shut", "open"
SCREW: Final = (SHUT, OPEN)  # of an oil relief


class Lift:
    """The settings of the lift, and the rates that follow."""

    def __init__(self, machine: Machine, supply: Supply) -> None:
        self._machine = machine
        self._supply = supply
        self.valve_m_s = 0.0  # of the feed valve: fully shut, as a good operator leaves it
        self.force_n = machine.force_found_n  # of the feed relief
        self.throttle_turns = machine.throttle_right
        self.air = 0.0  # in the oil, as a share of what makes it stick for all its period
        self.leak_m_s = 0.0  # at which the head sinks with all valves shut
        self.passes = 1.0  # share of the oil that the filter lets through
        self.relief = SHUT  # its oil relief
        self.filled = False  # oil was pressed under the piston since the relief was last open
        self.pumped = False  # by hand, and the check valve of that pump holds it

    @property
    def carried(self) -> bool:
        """Whether air over the oil, or the hand pump's check valve, carries the head behind its valves."""
        return self._supply.air or self.pumped

    @property
    def throttled(self) -> float:
        """How far the exhaust throttle is shut: 0 when it does not matter, 1 when nothing passes."""
        shut = 1.0 - self.throttle_turns / self._machine.throttle_open
        return shut if shut > 0.0 else 0.0

    @property
    def stands(self) -> float:
        """Share of each period for which the head sticks on its way down, 0 to below 1."""
        return self._machine.jerk_stands * self.air

    @property
    def up_m_s(self) -> float:
        """How fast the head is raised, m/s; 0 without oil or air."""
        supply = self._supply
        moved = supply.oil and supply.air and self.relief == SHUT
        return self._machine.lift_m_s * self.passes * supply.flow if moved else 0.0

    @property
    def down_m_s(self) -> float:
        """How fast the head comes down with the lower valve open, m/s."""
        if self.relief == OPEN:
            return self._machine.relief_m_s
        return self._through_valves_m_s() * self._supply.flow

    @property
    def sinks_m_s(self) -> float:
        """How fast the head sinks with no coil energised, m/s; 0 when it is held."""
        if self.relief == OPEN:
            return self._machine.relief_m_s
        if self._supply.powered or (self.carried and not self._machine.head_sinks):
            return self.leak_m_s
        return max(self._through_valves_m_s(), self._machine.shut_creep_m_s, self.leak_m_s)

    @property
    def sinks_overnight(self) -> bool:
        """Whether a night without control power brings the head down through its open valves."""
        if self.relief == OPEN:
            return True
        lets = self._machine.head_sinks or not self.carried
        return lets and self._through_valves_m_s() > 0.0

    @property
    def stops_short_m(self) -> float:
        """How far above its lowest place the throttled oil stops the head, m."""
        return self._machine.stops_short_m * self.throttled if self.relief == SHUT else 0.0

    @property
    def dive_m(self) -> float:
        """How far the head springs down when the work under it gives way, m."""
        return self._machine.dive_m * self.throttled

    def _through_valves_m_s(self) -> float:
        if self.valve_m_s <= SHUT_M_S:
            return 0.0 if self.carried else self._machine.fall_m_s
        if self.throttled == 0.0:
            return self.valve_m_s
        machine, weight_n = self._machine, self._machine.head_kg * GRAVITY_M_S2
        # Fully open, the needle lets the head down as fast as the feed valve ever does.
        full_m2 = orifice_for_m2(machine.valve_high_m_s, weight_n, machine.lift_piston_m2)
        needle = needle_m_s(1.0 - self.throttled, full_m2, weight_n, machine.lift_piston_m2)
        return descent_m_s(self.valve_m_s, needle)
