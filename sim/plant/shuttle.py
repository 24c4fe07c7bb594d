"""The shuttle: it runs between the cutting vise and the length stop and takes the bar along.

Theory. Position s is 0 when forward at the cutting vise and grows towards the length stop. The stop
is set by a handwheel whose pinion has play in its rack: turned down to a reading of scale and vernier
it stands true, turned up to it it stands short by the play (`trade.length.stop_after_turn`). A scale that
was zeroed wrong reads more than there is. The bar follows the shuttle
only while the shuttle vise clamps and the cutting vise does not, and if the clamping is too weak for its
mass it stays behind by what `trade.creep.index_slip_m` says, spread over the move.
"""

from collections.abc import Callable
from typing import Final

from sim.kernel.axis import Axis
from sim.kernel.motion import Ramp
from sim.plant.bar import Bar
from sim.plant.supply import Supply
from sim.plant.supports import ARM_UP, CHOCK_IN, FOLDED, Supports
from sim.plant.surroundings import Site
from sim.plant.vise import Vise
from sim.trade.creep import index_slip_m
from sim.trade.length import stop_after_turn
from sim.units import MM
from sim.words.fields import kilograms, mm, mm_s, newtons
from sim.words.message import NOTHING, Message, plain, row

_CLEAR_M: Final = 0.5 * MM  # how far bar may move against the band before it counts as a collision

_BOTH_HELD: Final = plain("harm.bar-scored.both", "Both vises held it.")
_CUTTING_RUBBED: Final = plain(
    "harm.bar-scored.cutting-vise", "The open cutting vise rubbed along it."
)
_SHUTTLE_RUBBED: Final = plain(
    "harm.bar-scored.shuttle-vise", "The open shuttle vise rubbed along it."
)
_CHOCKED: Final = plain("harm.bar-scored.chock", "The chock at the rollers held it.")
_STAYED: Final = row(
    "harm.bar-slipped.behind",
    "The shuttle vise held {held}, too little to move {mass}: the bar stayed behind by {slip}.",
    held=newtons(), mass=kilograms(), slip=mm(2),
)  # fmt: skip
_CAME: Final = row("harm.arm-struck.detail", "It came at {speed}.", speed=mm_s())
_IN_THE_WAY: Final = row(
    "harm.bar-into-band.detail",
    "The band stood {band} above the bed, in the way of bar {bar} high.",
    band=mm(), bar=mm(),
)  # fmt: skip


class Shuttle:
    """Position, length stop and the bar it carries."""

    def __init__(
        self, site: Site, supply: Supply, bar: Bar, vises: tuple[Vise, Vise], supports: Supports
    ) -> None:
        self._site = site
        self._supply = supply
        self._bar = bar
        self._supports = supports
        self._cutting, self._vise = vises
        self.place = Axis(site.clock, 0.0)
        self.reading_m = site.machine.stop_found_m
        self.play_m = site.machine.play_m
        self.scale_off_m = 0.0  # by which the scale reads too much
        self.pace = 1.0  # share of its speed that its oil gives it
        self.drag = site.machine.roller_drag  # of the bar on its rollers, as a share of its weight
        self.stop_m = self.reading_m
        self.band_height_m: Callable[[], float] = lambda: bar.height_m  # until there is a head
        self._valve = 0  # +1 back to the stop, -1 forward to the band
        self.bar_came: Callable[[], None] = lambda: None  # the bar has come under the band
        self._carries = False
        self._scores = False  # drags closed jaws along the bar
        self.place.mark("cutting plane", 0.0, self._left_band, includes=False)
        self._mark_stop()

    def _mark_stop(self) -> None:
        self.place.mark("stop", self.stop_m, self._at_stop)

    def wind_to(self, reading_m: float) -> None:
        """Turn the handwheel from where it is straight to a reading, m."""
        self._stop_at(stop_after_turn(self.stop_m, reading_m - self.scale_off_m, self.play_m))
        self.reading_m = reading_m
        self.feel()

    def zero_scale(self, off_m: float) -> None:
        """Have the scale read too much by so much; what it reads stays, and the stop is where that puts it."""
        short_m = self.short_m
        self.scale_off_m = off_m
        self._stop_at(self.reading_m - off_m - short_m)
        self.feel()

    @property
    def short_m(self) -> float:
        """By how much the stop stands short of where its scale would have it, m: the play that is in."""
        return self.reading_m - self.scale_off_m - self.stop_m

    def _stop_at(self, stop_m: float) -> None:
        self.stop_m = stop_m
        self._mark_stop()
        if self.place.position > self.stop_m:  # the rack pushes the shuttle before it
            self._settle_bar()
            self.place.put(self.stop_m)

    def throttle(self, pace: float) -> None:
        """Have it run at a share of its speed, 0 to 1."""
        self.pace = pace
        self.feel()

    def drag_bar(self, drag: float) -> None:
        """Have the rollers drag at the bar with a share of its weight."""
        self.drag = drag

    @property
    def rear_edge_m(self) -> float:
        """Place of the rear edge of its jaws, where the bar sensor sits, m along x."""
        machine = self._site.machine
        return -(machine.jaw_front_m + machine.jaw_length_m + self.place.position)

    @property
    def has_bar(self) -> bool:
        """Whether the bar fills its jaws."""
        return self._bar.reaches(
            self.rear_edge_m, self.rear_edge_m + self._site.machine.jaw_length_m
        )

    def push(self, valve: str, on: bool) -> None:
        """Energise or drop a coil, `back` or `forward`."""
        way = 1 if valve == "back" else -1
        if on:
            self._valve = way
        elif self._valve == way:
            self._valve = 0
        self.feel()

    def feel(self) -> None:
        """Move as valve, oil and vises now say; called when any of them changed."""
        self._settle_bar()
        here = self.place.position
        if self._valve == 0 or not self._supply.oil:
            self._scores = False
            if self.place.moving:
                self.place.stop()
            return
        end = self.stop_m if self._valve > 0 else 0.0
        if self._valve > 0 and here > end:
            end = here
        self._take_hold(here, end)
        self._mark_arm(here, end)
        pace = self.pace * self._supply.flow
        self.place.follow(Ramp(here, end, self._site.machine.shuttle_m_s * pace))

    def _take_hold(self, here_m: float, end_m: float) -> None:
        """Take hold of the bar for the move that begins now."""
        self.place.unmark("band")
        machine = self._site.machine
        sensor_m = -self._bar.rear_m - machine.jaw_front_m - machine.jaw_length_m
        self.place.mark("bar_end", sensor_m + 1e-9, self._passed_end)
        moves = here_m != end_m
        clamping = self._vise.clamped and moves
        rubs = self._rubs(clamping) if moves else NOTHING
        scored, self._scores = self._scores, bool(rubs)
        if self._scores and not scored:
            self._site.tell("bar-scored", rubs)
        if clamping and not self._cutting.clamped and self._supports.chock != CHOCK_IN:
            self._carry(here_m, end_m)

    def _rubs(self, clamping: bool) -> Message:
        """Return what scores the bar in a move; nothing when nothing does."""
        touch_m = self._site.machine.jaw_touch_m
        if clamping and self._cutting.clamped:
            return _BOTH_HELD
        if clamping and self._supports.chock == CHOCK_IN:
            return _CHOCKED
        if clamping and self._cutting.gap_m < touch_m:
            return _CUTTING_RUBBED
        if not clamping and self._vise.gap_m < touch_m and self.has_bar:
            return _SHUTTLE_RUBBED
        return NOTHING

    def _carry(self, here_m: float, end_m: float) -> None:
        front_m = self._bar.front_m
        follows = self._share_that_follows(abs(end_m - here_m))
        if end_m < here_m:
            hit_m = here_m - max(0.0, -front_m) - _CLEAR_M
            self.place.mark("band", hit_m, lambda beyond: self._hit(not beyond), includes=False)
        elif self._bar.under_band:
            self.place.mark("band", here_m + _CLEAR_M, self._hit)
        self._carries = True
        self._bar.ride(lambda: front_m + (here_m - self.place.position) * follows)

    def _share_that_follows(self, way_m: float) -> float:
        """Return the share of a move that the bar makes with the shuttle."""
        machine, stock = self._site.machine, self._bar.stock
        mass_kg = stock.section.mass_kg_m(stock.material.density_kg_m3) * self._bar.length_m
        holding_n = self._vise.holding_n
        slip_m = index_slip_m(
            holding_n, mass_kg, machine.shuttle_m_s * self.pace, machine.shuttle_m_s2, self.drag
        )
        if slip_m == 0.0:
            return 1.0
        slip_m = min(slip_m, way_m)
        if slip_m > machine.slip_seen_m:
            self._site.tell(
                "bar-slipped",
                _STAYED(held=holding_n, mass=mass_kg, slip=slip_m),
            )
        return 1.0 - slip_m / way_m

    def _mark_arm(self, here_m: float, end_m: float) -> None:
        """Put a mark at the support arm, if it was left up in the way."""
        arm_m = self._site.machine.arm_m
        if self._supports.arm == ARM_UP and end_m <= arm_m < here_m:
            self.place.mark("arm", arm_m, self._strike)
        else:
            self.place.unmark("arm")

    def _strike(self, beyond: bool) -> None:
        if not beyond and self._supports.arm == ARM_UP:
            self._supports.arm = FOLDED
            self._site.tell("arm-struck", _CAME(speed=-self.place.rate))

    def _blocks(self) -> bool:
        return self.band_height_m() < self._bar.height_m

    @property
    def carrying(self) -> bool:
        """Whether it takes the bar along at this moment."""
        return self._carries and self.place.moving

    def _settle_bar(self) -> None:
        if self._carries:
            self._carries = False
            self._bar.lie()
        self.sense_bar()

    def sense_bar(self) -> None:
        """Show the bar sensor what is before it."""
        self._site.bus.drive("B53", self._bar.rear_m <= self.rear_edge_m + 1e-9)

    def _passed_end(self, beyond: bool) -> None:
        if not self._carries:
            self._site.bus.drive("B53", not beyond)

    def _hit(self, there: bool) -> None:
        if not there:
            return
        if self._blocks():
            self._site.tell(
                "bar-into-band",
                _IN_THE_WAY(band=self.band_height_m(), bar=self._bar.height_m),
            )
        else:
            self.bar_came()

    def _left_band(self, left: bool) -> None:
        if not left:
            self._settle_bar()
        self._site.bus.drive("B22", not left)

    def _at_stop(self, there: bool) -> None:
        if there:
            self._settle_bar()
        self._site.bus.drive("B21", there)
