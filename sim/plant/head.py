"""The head: raised by oil, let down by its own weight, and what happens when it meets the bar.

Theory. Height is that of the band's cutting edge above the bed at the bar. The raise valve lifts it;
the lower valve lets it sink no faster than its oil can leave (see `lift`), and in metal no faster than
the feed force cuts (see `sim.trade.cut_table`). Upwards it ends at the ring of its height stop (see
`height_stop`), downwards on bed, work or prop, whichever comes first.

The prop is swung in under the raised head by a lever outside. It carries the head only when the head
has come down on it, and then nothing swings it out.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import Final

from sim.kernel.axis import Axis
from sim.kernel.motion import Jerky, Law, Ramp, Tabled
from sim.plant.cut import CutPlan
from sim.plant.height_stop import HeightStop
from sim.plant.lift import OPEN, SHUT, Lift
from sim.plant.obstacles import Obstacles
from sim.plant.sawing import STALLS, Sawing, Sawn
from sim.plant.shuttle import Shuttle
from sim.plant.supply import Supply
from sim.plant.surroundings import Site
from sim.plant.vise import Vise
from sim.units import GRAVITY_M_S2
from sim.words.message import NOTHING, plain

PROP_OUT, PROP_IN = "out", "in"
PROP: Final = (PROP_OUT, PROP_IN)
_HAIR_M: Final = 1e-9

_STARTED = plain("harm.bar-snatched.started", "It was started while its teeth lay on the bar.")
_CAME_DOWN = plain(
    "harm.bar-into-band.from-above", "The head came down while the shuttle moved the bar."
)
_CAME_TO_REST = plain(
    "harm.teeth-pressed.came-to-rest",
    "The band came to rest on the bar while the head was still being lowered.",
)


@dataclass(frozen=True, slots=True)
class Works:
    """The parts that the head meets."""

    supply: Supply
    shuttle: Shuttle
    cutting_vise: Vise
    sawn: Sawn


class Head:
    """Height, height stop and lift."""

    def __init__(self, site: Site, works: Works, parted: Callable[[], None]) -> None:
        self._site = site
        self._works = works
        self._sawn = works.sawn
        self._parted = parted
        machine = site.machine
        self.height_stop = HeightStop(machine)
        self.lift = Lift(machine, works.supply)
        self.place = Axis(site.clock, self.stop_m)
        self.sawing = Sawing(site, works.sawn, self.place)
        self.obstacles = Obstacles(site, works.sawn, self.place)
        self._raise = False
        self._lower = False
        self._on_work = False  # has come down on metal, and saws it or stands there
        self.prop = PROP_OUT
        self.strokes = 0  # of the hand pump, last given
        self._band = (0.0, False)  # its cutting speed, m/s, and whether it turns
        self.place.mark("up", self._up_switch_m(made=True), self._up)
        self.place.mark("down", machine.head_bottom_m, self._down, includes=False)
        works.shuttle.band_height_m = lambda: self.place.position
        works.shuttle.bar_came = self.bar_came

    @property
    def stop_m(self) -> float:
        """Height at which the upper switch makes, m."""
        return self.height_stop.height_m

    @property
    def valve_m_s(self) -> float:
        """Fastest descent that the feed valve is set to, m/s."""
        return self.lift.valve_m_s

    @property
    def force_n(self) -> float:
        """Feed force that the feed relief is set to, N."""
        return self.lift.force_n

    def set_ring(self, notch: int, plunger: str) -> None:
        """Put the ring of the height stop at a notch, its plunger home or on the land."""
        self.height_stop.set_ring(notch, plunger)
        self._mark_stop()

    def ride_ring(self, strokes: int) -> None:
        """Have the ring ridden on the land for so many strokes."""
        self.height_stop.ride(strokes)
        self._mark_stop()

    def come_to_rest(self, *, left_down: bool = False) -> None:
        """Put the head where a night without control power leaves it: down on the work, if the feed valve is open.

        Args:
            left_down: Whether somebody let it down on the work before that night.
        """
        bar = self._sawn.bar
        low_m = bar.work_top_m if bar.under_band else self._site.machine.head_bottom_m
        if self.prop == PROP_IN:
            low_m = max(low_m, self._site.machine.prop_m)
        if left_down or self.lift.sinks_overnight or self.place.position < low_m:
            self.place.put(low_m)
            self.obstacles.settle()
        self.lift.filled = self.place.position > low_m

    # What holds it, and what lets it down ---------------------------------------------------

    def swing_prop(self, prop: str) -> None:
        """Swing the prop in or out by its lever; loaded, or with the head in its way, it stays."""
        if not (self.propped if prop == PROP_OUT else not self.above_prop):
            self.prop = prop
            self.feel()

    @property
    def above_prop(self) -> bool:
        """Whether it stands high enough for the prop to be swung in under it."""
        return self.place.position >= self._site.machine.prop_m - _HAIR_M

    @property
    def propped(self) -> bool:
        """Whether it rests on its prop, so that no oil and no air is needed to keep it up."""
        on_it = abs(self.place.position - self._site.machine.prop_m) <= _HAIR_M
        return self.prop == PROP_IN and on_it and not self.place.moving

    @property
    def rests(self) -> bool:
        """Whether it lies on bed, work or prop and can come no further down."""
        if self.place.moving or self.cutting is not None:
            return False
        on_bed = self.place.position <= self._site.machine.head_bottom_m + _HAIR_M
        return on_bed or self.propped or self._resting

    @property
    def oil_pa(self) -> float:
        """Pressure of the oil under its piston, Pa: its weight, or what a check valve keeps when it rests."""
        machine = self._site.machine
        if not self.rests:
            return machine.head_kg * GRAVITY_M_S2 / machine.lift_piston_m2
        return machine.lift_trapped_pa if self.lift.filled else 0.0

    def relieve(self, screw: str) -> None:
        """Turn its oil relief open or shut; open, it comes down on bed, work or prop."""
        self.lift.relief = screw
        if screw == OPEN:
            self.lift.filled = self.lift.pumped = False
        self.feel()

    def pump_by_hand(self, strokes: int) -> None:
        """Raise it by so many strokes of the hand pump, those given already; with the relief open by nothing."""
        self.strokes = strokes
        if strokes and self.lift.relief == SHUT:
            machine = self._site.machine
            self.lift.filled = self.lift.pumped = True
            to_m = self.place.position + strokes * machine.pump_stroke_m
            self.place.put(min(to_m, machine.head_top_m))
        self.feel()

    def set_valve(self, valve_m_s: float) -> None:
        """Set the feed valve to its fastest descent, m/s; a head on its way down changes pace at once."""
        self.lift.valve_m_s = valve_m_s
        self.feel()

    def set_force(self, force_n: float) -> None:
        """Set the feed force, N; a cut under way changes pace at once."""
        self.lift.force_n = force_n
        self.feel()

    def set_throttle(self, turns: float) -> None:
        """Turn the exhaust throttle of the lift so many turns open; 0 is fully shut."""
        self.lift.throttle_turns = turns
        self.feel()

    def let_air_in(self, air: float) -> None:
        """Have a share of air in the oil of the lift, 0 to 1; bleeding takes it out."""
        self.lift.air = air
        self.feel()

    def leak(self, rate_m_s: float) -> None:
        """Have it sink at a rate, m/s, with all valves shut and the power on."""
        self.lift.leak_m_s = rate_m_s
        self.feel()

    def choke(self, share: float) -> None:
        """Have the filter of the lift pass a share of its oil, 0 to 1."""
        self.lift.passes = share
        self.feel()

    @property
    def cutting(self) -> CutPlan | None:
        """The plan of the cut under way, or None outside metal."""
        return self.sawing.plan

    def open(self, valve: str, on: bool) -> None:
        """Energise or drop a coil, `raise` or `lower`."""
        if valve == "raise":
            self._raise = on
        else:
            self._lower = on
        self.feel()

    def feel(self) -> None:
        """Begin the motion that valves, power and work now ask for; called when one of them changed."""
        self._leave_cut()
        self._on_work = self._on_work and self._lower and not self._raise
        lift, here, machine = self.lift, self.place.position, self._site.machine
        if self._raise and lift.up_m_s > 0.0:
            self.obstacles.land()
            lift.filled, lift.pumped = True, False
            self.place.follow(Ramp(here, machine.head_top_m, lift.up_m_s))
        elif self._lower and self._works.supply.powered:
            self._sink(lift.down_m_s, driven=True)
        elif lift.sinks_m_s > 0.0:
            self._sink(lift.sinks_m_s, driven=False)
        elif self.place.direction:
            self.obstacles.land()
            self.place.stop()
        self.sawing.sense()

    def replan(self) -> None:
        """Take note that something changed that a cut depends on."""
        if self.at_work():
            self.feel()

    def at_work(self) -> bool:
        """Return whether the band lies on metal, cutting or not."""
        return self.sawing.plan is not None or self._resting

    def bar_came(self) -> None:
        """Take note that a bar has come under the band."""
        self.feel()
        self._sawn.band.mark_steps()

    def band_changed(self) -> None:
        """Take note of another band speed, or of its standstill; a cut under way is worked out anew."""
        band = self._sawn.band.cutting_speed_m_s, self._sawn.band.turning
        if band != self._band:
            _, turned = self._band
            self._band = band
            if not turned and self._sawn.band.turning:
                self._band_bites()
            self.replan()

    def _band_bites(self) -> None:
        """Tell of bar that no vise holds where a band begins to turn with its teeth on it."""
        if self.on_loose_bar:
            self._site.tell("bar-snatched", _STARTED)

    @property
    def on_loose_bar(self) -> bool:
        """Whether the teeth lie on bar that no vise holds: a band that begins to turn there catches it."""
        bites = self._resting and self._sawn.blade.cuts and self.place.position > 0.0
        return bites and not self._works.cutting_vise.clamped

    @property
    def _resting(self) -> bool:
        """Whether it lies on the work and would go on if the band cut."""
        bar = self._sawn.bar
        return self.place.position <= bar.work_top_m + _HAIR_M and bar.under_band

    def _downwards(self, even: Law) -> None:
        """Come down by a law, evenly or in jerks."""
        stands = self.lift.stands
        period_s = self._site.machine.jerk_s
        self.place.follow(Jerky(even, period_s, stands) if stands > 0.0 else even)

    def _sink(self, rate_m_s: float, *, driven: bool) -> None:
        here = self.place.position
        bottom_m = self._floor_m
        self.place.unmark("work", "mouth")
        if rate_m_s <= 0.0 or here <= bottom_m:
            self.obstacles.land()
            self.place.stop()
            return
        if rate_m_s >= self._site.machine.fall_m_s:
            self.obstacles.fall(bottom_m)
        self.obstacles.mark_rail()
        bar = self._sawn.bar
        top_m = bar.work_top_m
        if bar.under_band and top_m > 0.0:
            if bar.old_kerf is not None and here > bar.height_m:
                self.place.mark("mouth", bar.height_m, self.obstacles.into_kerf, includes=False)
            if here > top_m:
                self.place.mark("work", top_m, partial(self._met, rate_m_s, driven), includes=False)
            else:
                self._enter(rate_m_s, driven=driven)
                return
        if bottom_m > 0.0:
            self.place.mark("prop", bottom_m, self._stopped_by_prop, includes=False)
        self._downwards(Ramp(here, bottom_m, rate_m_s))

    @property
    def _floor_m(self) -> float:
        """Height at which bed or prop ends its way down, m."""
        bed_m = self._site.machine.head_bottom_m + self.lift.stops_short_m
        under = self.prop == PROP_IN and self.above_prop
        return max(bed_m, self._site.machine.prop_m) if under else bed_m

    def _met(self, rate_m_s: float, driven: bool, above: bool) -> None:
        if not above:
            self._enter(rate_m_s, driven=driven, arriving=True)

    # The work -----------------------------------------------------------------------------

    def _enter(self, rate_m_s: float, *, driven: bool, arriving: bool = False) -> None:
        """Come on to metal, or lie on it."""
        works, sawn = self._works, self._sawn
        self.obstacles.land()
        sawn.band.mark_steps()
        if works.shuttle.carrying:
            self._site.tell("bar-into-band", _CAME_DOWN)
        if self.obstacles.guide_stands_over_bar(arriving=arriving):
            self.place.stop()
            return
        surge = 1.0 / (1.0 - self.lift.stands)
        plan = sawn.cut.plan(self.force_n, rate_m_s, surge)
        if plan is None or self.place.position <= 0.0:
            if driven:
                self._press()
            self._on_work = True
            self.place.stop()
            return
        if not works.cutting_vise.clamped:
            self._site.tell("bar-snatched")
        if arriving:
            self.sawing.come_beside()
        self._begin(plan)

    def _press(self) -> None:
        """Tell what comes of lowering the head on metal that the band does not cut."""
        band, site = self._sawn.band, self._site
        if band.turning:
            if not self._sawn.blade.cuts:
                site.tell("band-rubbed")
        elif not any(site.told_this_cut(kind) for kind in STALLS):  # which are the same harm
            site.tell("teeth-pressed", _CAME_TO_REST if self._on_work else NOTHING)

    def _begin(self, plan: CutPlan) -> None:
        self._on_work = True
        height_m = self._sawn.bar.height_m
        table = plan.table
        since_s = table.time_at_s(height_m - self.place.position)
        self.sawing.begin(plan)
        self.place.mark("through", 0.0, self._through, includes=False)
        if 0.0 < self.lift.dive_m < self.place.position:
            self.place.mark("dive", self.lift.dive_m, self._dive, includes=False)
        if self._floor_m > 0.0:
            self.place.mark("prop", self._floor_m, self._stopped_by_prop, includes=False)
        self._downwards(
            Tabled(
                at_s=lambda s: height_m - table.depth_at_m(s),
                when_s=lambda y: table.time_at_s(height_m - y),
                since_s=since_s,
                end_s=table.duration_s,
            )
        )

    def _leave_cut(self) -> None:
        """Remember how deep the kerf is."""
        bar = self._sawn.bar
        if self.sawing.plan is not None:
            depth_m = bar.height_m - self.place.position
            self.sawing.leave(depth_m)
            self.sawing.left_kerf(depth_m)
            self.place.unmark("through", "dive")
        self.place.unmark("prop")

    def _stopped_by_prop(self, above: bool) -> None:
        if not above:
            self.place.put(self._site.machine.prop_m)
            self.feel()

    def _dive(self, above: bool) -> None:
        """Spring down through what is left of the bar."""
        if above or self.cutting is None:
            return
        self.sawing.dive(self.lift.dive_m)
        self.place.unmark("dive")
        self.place.put(0.0)  # past the mark at which the bar is through

    def _through(self, above: bool) -> None:
        if above or self.cutting is None:
            return
        self.sawing.leave(self._sawn.bar.height_m)
        self.place.unmark("through", "dive")
        self._parted()
        self.feel()

    def clamping_changed(self) -> None:
        """Take note that the cutting vise took or let go of the bar, or holds it otherwise."""
        if self.sawing.plan is None:
            return
        if not self._works.cutting_vise.clamped:
            self._site.tell("clamping-lost")
        else:
            self.feel()

    def _mark_stop(self) -> None:
        """Put the upper switch where it makes, or, made, a little lower where it lets go again."""
        self.place.mark("up", self._up_switch_m(made=self.place.beyond("up")), self._up)

    def _up_switch_m(self, *, made: bool) -> float:
        return self.stop_m - (self._site.machine.up_switch_m if made else 0.0)

    def _up(self, up: bool) -> None:
        self.place.shift_behind("up", self._up_switch_m(made=up))
        self._site.bus.drive("B11", up)
        if up and self._raise and self.height_stop.knock():
            self._mark_stop()

    def _down(self, above: bool) -> None:
        self._site.bus.drive("B12", not above)
