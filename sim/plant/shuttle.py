"""The shuttle: it runs between the cutting vise and the length stop and takes the bar along.

Theory. Position s is 0 when forward at the cutting vise and grows towards the length stop. The stop
is set by a handwheel whose pinion has play in its rack: turned down to a reading of scale and vernier
it stands true, turned up to it it stands short by the play (`trade.length.stop_after_turn`). A scale that
was zeroed wrong reads more than there is. The bar follows the shuttle
only while the shuttle vise clamps, and if the clamping is too weak for its mass it stays behind by what
`trade.creep.index_slip_m` says, spread over the move.

What is held elsewhere too is a matter of the weakest link (`trade.clamping.what_gives`): a cutting vise
that holds less than the shuttle vise lets the bar be dragged through it and scored; jaws of the shuttle
vise that hold less slide over the bar; a drive that pulls less stalls. Before a jaw that is shut a bar
stops with its end, and a shut shuttle vise pushes a bar by its end.
"""

from collections.abc import Callable
from math import inf, isfinite
from typing import Final

from sim.kernel.axis import Axis
from sim.kernel.motion import Ramp
from sim.plant.bar import HAIR_M, Bar
from sim.plant.supply import Supply
from sim.plant.supports import ARM_UP, CHOCK_IN, FOLDED, Supports
from sim.plant.surroundings import Site
from sim.plant.vise import Vise
from sim.trade.clamping import Gives, what_gives
from sim.trade.creep import index_slip_m
from sim.trade.length import stop_after_turn
from sim.units import GRAVITY_M_S2, MM
from sim.words.fields import kilograms, mm, mm_s, newtons
from sim.words.message import NOTHING, Message, plain, row

_CLEAR_M: Final = 0.5 * MM  # how far bar may move against the band before it counts as a collision

_BOTH_HELD: Final = plain(
    "harm.bar-scored.both", "Both vises held it, and the jaws of the shuttle vise slid over it."
)
_SLID: Final = plain("harm.bar-scored.slid", "The jaws of the shuttle vise slid over it.")
_DRAGGED: Final = row(
    "harm.bar-scored.dragged",
    "It was dragged through the closed cutting vise, which held {held}; the shuttle vise held {pull}.",
    held=newtons(), pull=newtons(),
)  # fmt: skip
_AT_SHUT_JAWS: Final = plain(
    "harm.bar-scored.shut",
    "Its end stood before the shut jaws of the cutting vise, and the jaws of the shuttle vise slid over it.",
)
_STALLED_BOTH: Final = row(
    "harm.shuttle-stalled.both",
    "The cutting vise held the bar with {held}; the shuttle pulls with {pull} at most.",
    held=newtons(), pull=newtons(),
)  # fmt: skip
_STALLED_SHUT: Final = plain(
    "harm.shuttle-stalled.shut", "The bar stood before the shut jaws of the cutting vise."
)
_STALLED_CHOCK: Final = plain(
    "harm.shuttle-stalled.chock", "The chock at the rollers held the bar."
)
_STALLED_DRAG: Final = row(
    "harm.shuttle-stalled.drag",
    "The rollers dragged at the bar with {drag}; the shuttle pulls with {pull} at most.",
    drag=newtons(), pull=newtons(),
)  # fmt: skip
_CUTTING_RUBBED: Final = plain(
    "harm.bar-scored.cutting-vise", "The open cutting vise rubbed along it."
)
_SHUTTLE_RUBBED: Final = plain(
    "harm.bar-scored.shuttle-vise", "The open shuttle vise rubbed along it."
)
_CHOCKED: Final = plain(
    "harm.bar-scored.chock",
    "The chock at the rollers held it, and the jaws of the shuttle vise slid over it.",
)
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
        here_m = self.place.position
        self.stop_m = stop_m
        if here_m > stop_m:  # the rack pushes the shuttle before it, and what it holds
            self._settle_bar()
            self._shove(here_m)
            self.sense_bar()
        self._mark_stop()

    def _shove(self, here_m: float) -> None:
        """Be pushed to the stop by hand; a bar that cannot go along keeps jaws that are shut from it."""
        vise, bar = self._vise, self._bar
        free_m = self._free_m(here_m) if vise.shut else 0.0
        way_m = here_m - self.stop_m
        if (vise.shut or vise.clamped) and way_m > free_m:
            room_m = inf if self._gives(forward=True) is Gives.BAR else 0.0
            if self._cutting.shut:
                room_m = min(room_m, max(0.0, -self._site.machine.cutting_jaw_m - bar.front_m))
            pushed_m = min(way_m - free_m, room_m)
            if vise.shut:
                self.stop_m = here_m - free_m - pushed_m
            bar.shift(pushed_m)
        self.place.put(self.stop_m)

    def _free_m(self, here_m: float) -> float:
        """Return how far its shut jaws can go forward before they meet the rear end of the bar, m."""
        if self.touches_bar:
            return 0.0
        free_m = here_m + self._bar.rear_m + self._site.machine.jaw_front_m
        return free_m if free_m >= -HAIR_M else inf

    def throttle(self, pace: float) -> None:
        """Have it run at a share of its speed, 0 to 1."""
        self.pace = pace
        self.feel()

    @property
    def speed_m_s(self) -> float:
        """Return the speed that its oil gives it now, m/s."""
        return self._site.machine.shuttle_m_s * (self.pace * self._supply.flow)

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
        rear_m = self.rear_edge_m
        return self._bar.reaches(rear_m, rear_m + self._site.machine.jaw_length_m)

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
        moving = self.place.moving
        if moving or self._carries:
            self._settle_bar()
        if self._valve == 0 or not self._supply.oil:
            self._scores = False
            if moving:
                self.place.stop()
            return
        here = self.place.position
        end = self.stop_m if self._valve > 0 else 0.0
        if self._valve > 0 and here > end:
            end = here
        self.place.unmark("off", "band", "meets")
        if not self._take_hold(here, end):
            self.place.stop()
            return
        self._mark_arm(here, end)
        self.place.follow(Ramp(here, end, self.speed_m_s))

    def _take_hold(self, here_m: float, end_m: float) -> bool:
        """Take hold of the bar for the move that begins now; return whether the shuttle moves."""
        machine = self._site.machine
        sensor_m = -self._bar.rear_m - machine.jaw_front_m - machine.jaw_length_m
        self.place.mark("bar_end", sensor_m + 1e-9, self._passed_end)
        if here_m == end_m:
            self._scores = False
            return True
        forward = end_m < here_m
        takes_along = self._pushes(here_m, end_m) if self._vise.shut else self._vise.clamped
        if not takes_along:
            rubs = self._vise.gap_m < machine.jaw_touch_m and not self._vise.shut and self.has_bar
            self._score(_SHUTTLE_RUBBED if rubs else NOTHING)
            return True
        gives = self._gives(forward=forward)
        if gives is not Gives.BAR:
            if gives is Gives.DRIVE:
                self._site.tell("shuttle-stalled", self._why_stalled(forward=forward))
                self._scores = False
                return False
            self._score(self._why_slid(forward=forward))
            self._mark_off(here_m, forward=forward)
            return True
        dragged = self._cutting.clamped
        if dragged:
            self._score(_DRAGGED(held=self._cutting.holding_n, pull=self._vise.holding_n))
        else:
            self._score(_CUTTING_RUBBED if self._rubs_cutting_vise else NOTHING)
        self._carry(here_m, end_m)
        return True

    @property
    def _rubs_cutting_vise(self) -> bool:
        return not self._cutting.shut and self._cutting.gap_m < self._site.machine.jaw_touch_m

    def _score(self, rubs: Message) -> None:
        """Tell of what begins to score the bar; nothing ends it."""
        scored, self._scores = self._scores, bool(rubs)
        if self._scores and not scored:
            self._site.tell("bar-scored", rubs)

    # What holds the bar back, and what gives ------------------------------------------------------

    @property
    def touches_bar(self) -> bool:
        """Whether there is any bar between its jaws."""
        rear_m = self.rear_edge_m
        return self._bar.overlaps(rear_m, rear_m + self._site.machine.jaw_length_m)

    def _pushes(self, here_m: float, end_m: float) -> bool:
        """Return whether its shut jaws push or pinch the bar from here on; mark where they will."""
        if self.touches_bar:
            return True
        machine, bar = self._site.machine, self._bar
        if end_m < here_m:
            meets_m = -bar.rear_m - machine.jaw_front_m
        else:
            meets_m = -bar.front_m - machine.jaw_front_m - machine.jaw_length_m
        way_m = abs(meets_m - here_m)
        if (meets_m < here_m) is (end_m < here_m) and way_m > HAIR_M:
            self.place.mark("meets", meets_m, lambda _beyond: self.feel())
        return way_m <= HAIR_M

    def _drag_n(self) -> float:
        return self.drag * self._bar.mass_kg * GRAVITY_M_S2

    def _held_back_n(self, *, forward: bool) -> float:
        """Return what it takes to move the bar from where it lies, N."""
        if self._supports.chock == CHOCK_IN or self._before_shut_jaws(forward=forward):
            return inf
        return self._drag_n() + (self._cutting.holding_n if self._cutting.clamped else 0.0)

    def _before_shut_jaws(self, *, forward: bool) -> bool:
        """Whether the cutting vise is shut where the bar would go, or pinches its end."""
        if not self._cutting.shut:
            return False
        from_m = -self._site.machine.cutting_jaw_m
        if self._bar.overlaps(from_m, 0.0):
            return True
        return forward and abs(self._bar.front_m - from_m) <= HAIR_M

    def _gives(self, *, forward: bool) -> Gives:
        """Return what gives when the shuttle pulls or pushes at the bar."""
        grip_n = self._vise.holding_n if self._vise.clamped else inf
        held_n = self._held_back_n(forward=forward)
        drive_n = self._site.machine.drive_n
        if not self._cutting.clamped and isfinite(held_n) and held_n <= drive_n:
            return Gives.BAR  # how far weak jaws then leave it behind is a matter of its mass
        return what_gives(drive_n, grip_n, held_n)

    def _why_slid(self, *, forward: bool) -> Message:
        if self._supports.chock == CHOCK_IN:
            return _CHOCKED
        if self._before_shut_jaws(forward=forward):
            return _AT_SHUT_JAWS
        return _BOTH_HELD if self._cutting.clamped else _SLID

    def _why_stalled(self, *, forward: bool) -> Message:
        pull_n = self._site.machine.drive_n
        if self._supports.chock == CHOCK_IN:
            return _STALLED_CHOCK
        if self._before_shut_jaws(forward=forward):
            return _STALLED_SHUT
        if self._cutting.clamped:
            return _STALLED_BOTH(held=self._cutting.holding_n, pull=pull_n)
        return _STALLED_DRAG(drag=self._drag_n(), pull=pull_n)

    def _mark_off(self, here_m: float, *, forward: bool) -> None:
        """Mark where jaws that slide over the bar come off its end."""
        machine, bar = self._site.machine, self._bar
        if forward:
            off_m = -bar.front_m - machine.jaw_front_m - machine.jaw_length_m
        else:
            off_m = -bar.rear_m - machine.jaw_front_m
        if (off_m < here_m) is forward:
            self.place.mark("off", off_m, lambda _beyond: self._vise.lose_bar())

    def _carry(self, here_m: float, end_m: float) -> None:
        front_m = self._bar.front_m
        follows = self._share_that_follows(abs(end_m - here_m)) if self._vise.clamped else 1.0
        jaws_m = -self._site.machine.cutting_jaw_m
        if end_m < here_m:
            hit_m = here_m - max(0.0, -self._bar.beyond_m) - _CLEAR_M
            self.place.mark("band", hit_m, lambda beyond: self._hit(not beyond), includes=False)
            if self._cutting.shut and front_m < jaws_m and follows > 0.0:
                meets_m = here_m - (jaws_m - front_m) / follows
                self.place.mark("meets", meets_m, lambda _beyond: self.feel())
        else:
            if self._bar.under_band:
                self.place.mark("band", here_m + _CLEAR_M, self._hit)
            if self._cutting.clamped and follows > 0.0:
                off_m = here_m + (front_m - jaws_m) / follows
                self.place.mark("off", off_m, lambda _beyond: self._cutting.lose_bar())
        self._carries = True
        self._bar.ride(lambda: front_m + (here_m - self.place.position) * follows)

    def _share_that_follows(self, way_m: float) -> float:
        """Return the share of a move that the bar makes with the shuttle."""
        machine, mass_kg = self._site.machine, self._bar.mass_kg
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
        """Show the bar sensor what is before it; called when the shuttle stops and when the bar is another."""
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
