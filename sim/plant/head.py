"""The head: lifted by oil, let down by its own weight, and what happens when it meets the bar.

Theory. Height is that of the band's cutting edge above the bed at the bar. The lift valve raises
it; the lower valve lets it sink no faster than the feed valve allows, and in metal no faster than
the feed force cuts (see `sim.trade.cut_table`). With neither valve open it is locked by oil, as long
as there is control power. Without control power the lock is gone and it sinks at the feed valve's
rate; with the feed valve fully shut it stays while there is air, and falls when there is none.

The bleed screw lets the air out of the feed line. All but shut, the head sticks and slips on its way
down: it stands for a part of every period and makes up for it in the rest (`kernel.motion.Jerky`).

The height stop is a collar on a rod, pinned through one of a row of holes. With the pin under the
collar the collar rides high on its rod and the upper switch makes too early.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from sim.kernel.axis import Axis
from sim.kernel.motion import Jerky, Law, Ramp, Tabled
from sim.plant.cut import CutPlan
from sim.plant.obstacles import Obstacles
from sim.plant.sawing import Sawing, Sawn
from sim.plant.shuttle import Shuttle
from sim.plant.supply import Supply
from sim.plant.surroundings import Site
from sim.plant.vise import Vise
from sim.words.message import plain

_SHUT_M_S = 1e-6  # a feed valve that lets less through is fully shut
_FALL_M_S = 0.3  # with the valve shut and no air left to hold it

_CAME_DOWN = plain(
    "harm.bar-into-band.from-above", "The head came down while the shuttle moved the bar."
)


@dataclass(frozen=True, slots=True)
class Works:
    """The parts that the head meets."""

    supply: Supply
    shuttle: Shuttle
    cutting_vise: Vise
    sawn: Sawn


class Head:
    """Height, height stop, feed valve and feed force."""

    def __init__(self, site: Site, works: Works, parted: Callable[[], None]) -> None:
        self._site = site
        self._works = works
        self._sawn = works.sawn
        self._parted = parted
        machine = site.machine
        self.hole = 5
        self.pin_through = True
        self.valve_m_s = 0.0  # fully shut, as a good operator leaves it
        self.force_n = 250.0
        self.bleed_turns = 1.0
        self.leak_m_s = 0.0  # at which it sinks with both valves shut
        self.lifts = 1.0  # share of its lifting speed that its oil gives it
        self.place = Axis(site.clock, self.stop_m)
        self.sawing = Sawing(site, works.sawn, self.place)
        self.obstacles = Obstacles(site, works.sawn, self.place)
        self._lift = False
        self._lower = False
        self._on_work = False  # has come down on metal and stands there
        self._band_speed_m_s = 0.0
        self._mark_stop()
        self.place.mark("down", machine.head_bottom_m, self._down, includes=False)
        works.shuttle.band_height_m = lambda: self.place.position
        works.shuttle.bar_came = self.feel

    @property
    def stop_m(self) -> float:
        """Height at which the upper switch makes, m."""
        machine = self._site.machine
        height_m = self.hole * machine.hole_step_m
        return (
            height_m
            if self.pin_through
            else max(height_m - machine.collar_m, machine.hole_step_m / 2)
        )

    def pin(self, hole: int, *, through: bool) -> None:
        """Pin the collar at a hole, through it or under it."""
        self.hole = hole
        self.pin_through = through
        self._mark_stop()

    def come_to_rest(self) -> None:
        """Put the head where a night without control power leaves it: down on the work, if the feed valve is open."""
        bar = self._sawn.bar
        low_m = bar.work_top_m if bar.under_band else self._site.machine.head_bottom_m
        if self._rate_m_s() > 0.0 or self.place.position < low_m:
            self.place.put(low_m)

    def set_valve(self, valve_m_s: float) -> None:
        """Set the feed valve to its fastest descent, m/s; a head on its way down changes pace at once."""
        self.valve_m_s = valve_m_s
        self.feel()

    def set_force(self, force_n: float) -> None:
        """Set the feed force, N; a cut under way changes pace at once."""
        self.force_n = force_n
        self.feel()

    def set_bleed(self, turns: float) -> None:
        """Turn the bleed screw so many turns open; 0 is fully shut."""
        self.bleed_turns = turns
        self.feel()

    def leak(self, rate_m_s: float) -> None:
        """Have it sink at a rate, m/s, with both valves shut and the power on."""
        self.leak_m_s = rate_m_s
        self.feel()

    def throttle_lift(self, share: float) -> None:
        """Have it lift at a share of its speed, 0 to 1."""
        self.lifts = share
        self.feel()

    @property
    def cutting(self) -> CutPlan | None:
        """The plan of the cut under way, or None outside metal."""
        return self.sawing.plan

    @property
    def _stands(self) -> float:
        """Share of each period for which it sticks on its way down, 0 to below 1."""
        machine = self._site.machine
        shut = 1.0 - self.bleed_turns / machine.bleed_open
        return machine.jerk_stands * max(0.0, shut)

    def open(self, valve: str, on: bool) -> None:
        """Energise or drop a coil, `lift` or `lower`."""
        if valve == "lift":
            self._lift = on
        else:
            self._lower = on
        self.feel()

    def feel(self) -> None:
        """Begin the motion that valves, power and work now ask for; called when one of them changed."""
        self._leave_cut()
        self._on_work = self._on_work and self._lower and not self._lift
        supply = self._works.supply
        here = self.place.position
        machine = self._site.machine
        if self._lift and supply.oil and supply.air:
            self.obstacles.land()
            self.place.follow(Ramp(here, machine.head_top_m, machine.lift_m_s * self.lifts))
        elif self._lower and supply.powered:
            self._sink(self._rate_m_s(), driven=True)
        elif not supply.powered:
            self._sink(self._rate_m_s(), driven=False)
        elif self.leak_m_s > 0.0:
            self._sink(self.leak_m_s, driven=False)
        elif self.place.law.direction:
            self.obstacles.land()
            self.place.stop()
        self.sawing.sense()

    def replan(self) -> None:
        """Take note that something changed that a cut depends on."""
        if self.cutting is not None or self._resting:
            self.feel()

    def band_changed(self) -> None:
        """Take note of another band speed; a cut under way is worked out anew."""
        speed_m_s = self._sawn.band.cutting_speed_m_s
        if speed_m_s != self._band_speed_m_s:
            self._band_speed_m_s = speed_m_s
            self.replan()

    @property
    def _resting(self) -> bool:
        """Whether it lies on the work and would go on if the band cut."""
        bar = self._sawn.bar
        return bar.under_band and self.place.position <= bar.work_top_m

    def _rate_m_s(self) -> float:
        if self.valve_m_s > _SHUT_M_S:
            return self.valve_m_s
        return 0.0 if self._works.supply.air else _FALL_M_S

    def _downwards(self, even: Law) -> None:
        """Come down by a law, evenly or in jerks."""
        stands = self._stands
        period_s = self._site.machine.jerk_s
        self.place.follow(Jerky(even, period_s, stands) if stands > 0.0 else even)

    def _sink(self, rate_m_s: float, *, driven: bool) -> None:
        here = self.place.position
        bottom_m = self._site.machine.head_bottom_m
        self.place.unmark("work")
        if rate_m_s <= 0.0 or here <= bottom_m:
            self.obstacles.land()
            self.place.stop()
            return
        if rate_m_s >= _FALL_M_S:
            self.obstacles.fall()
        self.obstacles.mark_fence()
        bar = self._sawn.bar
        top_m = bar.work_top_m
        if bar.under_band and top_m > 0.0:
            if here > top_m:
                self.place.mark("work", top_m, partial(self._met, rate_m_s, driven), includes=False)
            else:
                self._enter(rate_m_s, driven=driven)
                return
        self._downwards(Ramp(here, bottom_m, rate_m_s))

    def _met(self, rate_m_s: float, driven: bool, above: bool) -> None:
        if not above:
            self._enter(rate_m_s, driven=driven, arriving=True)

    # The work -----------------------------------------------------------------------------

    def _enter(self, rate_m_s: float, *, driven: bool, arriving: bool = False) -> None:
        """Come on to metal, or lie on it."""
        works, sawn = self._works, self._sawn
        self.obstacles.land()
        if works.shuttle.carrying:
            self._site.tell("bar-into-band", _CAME_DOWN)
        if self.obstacles.guide_stands_over_bar(arriving=arriving):
            self.place.stop()
            return
        surge = 1.0 / (1.0 - self._stands)
        plan = sawn.cut.plan(self.force_n, rate_m_s, surge)
        if plan is None or self.place.position <= 0.0:
            if driven and not sawn.band.turning and not self._on_work:
                self._site.tell("teeth-pressed")
            elif driven and sawn.band.turning and not sawn.blade.cuts:
                self._site.tell("band-rubbed")
            self._on_work = True
            self.place.stop()
            return
        if not works.cutting_vise.gripping:
            self._site.tell("bar-snatched")
        self._begin(plan)

    def _begin(self, plan: CutPlan) -> None:
        height_m = self._sawn.bar.height_m
        table = plan.table
        since_s = table.time_at_s(height_m - self.place.position)
        self.sawing.begin(plan)
        self.place.mark("through", 0.0, self._through, includes=False)
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
        if self.cutting is not None:
            depth_m = bar.height_m - self.place.position
            bar.kerf_depth_m = min(max(bar.kerf_depth_m, depth_m), bar.height_m)
            self.sawing.leave(depth_m)
        self.place.unmark("through")

    def _through(self, above: bool) -> None:
        if above or self.cutting is None:
            return
        self.sawing.leave(self._sawn.bar.height_m)
        self.place.unmark("through")
        self._parted()
        self.feel()

    def grip_changed(self) -> None:
        """Take note that the cutting vise took or let go of the bar, or holds it otherwise."""
        if self.cutting is None:
            return
        if not self._works.cutting_vise.gripping:
            self._site.tell("grip-lost")
        else:
            self.feel()

    def _mark_stop(self) -> None:
        """Put the upper switch where it makes, and a little lower where it lets go again."""
        self.place.mark("up", self.stop_m, self._up)
        self.place.mark("left_up", self.stop_m - self._site.machine.up_switch_m, self._left_up)

    def _up(self, up: bool) -> None:
        if up:
            self._site.bus.drive("B11", True)

    def _left_up(self, above: bool) -> None:
        if not above:
            self._site.bus.drive("B11", False)

    def _down(self, above: bool) -> None:
        self._site.bus.drive("B12", not above)
