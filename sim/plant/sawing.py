"""What happens to band, bar and machine while metal is cut.

A cut may be planned anew on its way down (another feed, a guide arm moved). Each run of one plan is
entered in the books when it is left: depth, time, area, creep and wander. At the parting the books
are closed: the face is measured, and drift and packing fall due; wear does whenever a run is left. Whatever would happen at a
known depth is a mark on the head; nothing is polled.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from math import hypot

from sim.kernel.axis import Axis
from sim.plant.band import BandDrive
from sim.plant.bar import Bar, Piece
from sim.plant.blade import SHARP, STRIPPED, WORN, Blade
from sim.plant.brush import Brush
from sim.plant.coolant import Coolant
from sim.plant.cut import CutPlan, CutPlanner, Danger
from sim.plant.supports import Supports
from sim.plant.surroundings import Site
from sim.plant.swivel import Swivel
from sim.trade import kerf
from sim.trade.burr import burr_m
from sim.trade.chips import Colour, Form, chip_colour, chip_form
from sim.trade.creep import creep_m, skew_at, slide_at
from sim.trade.edge import FAIR_CHIP_M, chipped_off, rubs_badly, starved
from sim.trade.life import (
    CONTACT_OF_REFERENCE_M,
    band_life_s,
    warmer_by_k,
    wear_by_chip,
)
from sim.trade.teeth import tooth_strain_at
from sim.units import MINUTE, MM
from sim.words.fields import (
    Quantity,
    authored,
    m_min,
    micrometres,
    mm,
    newtons,
    number,
    percent,
    square_cm,
)
from sim.words.message import row

STALLS = ("band-stalled", "kerf-pinched")
"""What brings the band to rest in the metal under a running motor."""

_SOON_S = 1200.0  # teeth that last less than this are burnt, not worn
_GOOD_ENOUGH = 0.7  # worth of the coolant, under which somebody should look
_RUBS_FOR_S = 60.0  # after which he is
_HARDENS = 1.5  # hardness of a rubbed surface, by that of the metal, from which it is worth telling
_CHIPPED = 0.005  # of a band's life, in one cut, from which it is worth telling

_LEAST_TOIL = 1e-6

_LASTS = row(
    "harm.teeth-dulled.detail",
    "At {speed} in {metal} they last {last} minutes.",
    speed=m_min(), metal=authored(), last=Quantity("", MINUTE, 1),
)  # fmt: skip
_RUBBED = row(
    "harm.teeth-rubbed.detail",
    "The feed gave them a chip of {chip}: they rubbed on {share} of their way. Such a cut costs {cost} of "
    "the band instead of {due}.",
    chip=micrometres(2), share=percent(), cost=percent(2), due=percent(2),
)  # fmt: skip
_RUBBED_HARD = row(
    "harm.teeth-rubbed.hardens",
    "The feed gave them a chip of {chip}, and they rubbed on {share} of their way. What they rubbed over is {hardened} times as hard as the metal. Such a cut costs {cost} of the band instead of {due}.",
    chip=micrometres(2), share=percent(), hardened=number(1), cost=percent(2), due=percent(2),
)  # fmt: skip
_NOT_RUN_IN = row(
    "harm.not-run-in.detail",
    "It has sawn {sawn} since it was new, and took a chip of {chip}: its edges chipped, which cost {cost} of "
    "the band.",
    sawn=square_cm(), chip=micrometres(1), cost=percent(1),
)  # fmt: skip
_OUT_OF_SQUARE = row(
    "harm.cut-out-of-square.detail",
    "It is out by {out} per {length}, {face} over the face.",
    out=mm(2), length=mm(), face=mm(2),
)  # fmt: skip
_SLIPPED = row(
    "harm.bar-slipped.detail",
    "It turned by {turn} and slid by {slide}; the pull was {pull} and the vise held {held}.",
    turn=mm(2), slide=mm(2), pull=newtons(), held=newtons(),
)  # fmt: skip
_JERKS = row("harm.descent-jerky.detail", "It went down in steps of up to {step}.", step=mm(2))
_DIVED = row(
    "harm.dived-through.detail", "It sprang down through the last {left} of the bar.", left=mm(1)
)
_STRIPPED = row(
    "harm.teeth-stripped.dived",
    "When the head dived through the last of the bar, it carried {strain} times what it stands.",
    strain=number(2),
)  # fmt: skip
_DRAWN = row(
    "harm.drawn-into-kerf.detail",
    "It came down {off} beside a kerf {depth} deep.",
    off=mm(2), depth=mm(),
)  # fmt: skip
_PINCHED = row(
    "harm.kerf-pinched.detail",
    "At a depth of {depth} they had come together by {closed}, and the band had {room} of room.",
    depth=mm(), closed=mm(2), room=mm(2),
)  # fmt: skip
_DRY, _POOR = (
    row(
        f"harm.{kind}.detail",
        "{area} cost {cost} of the band instead of {due}.",
        area=square_cm(1), cost=percent(2), due=percent(2),
    )
    for kind in ("cut-dry", "coolant-poor")
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sawn:
    """The parts that a cut acts on."""

    band: BandDrive
    blade: Blade
    brush: Brush
    bar: Bar
    cut: CutPlanner
    coolant: Coolant
    supports: Supports
    swivel: Swivel


@dataclass(slots=True)
class Books:
    """What the present parting cut has come to so far."""

    area_m2: float = 0.0
    duration_s: float = 0.0
    wander_m: float = 0.0
    skew_m: float = 0.0
    slide_m: float = 0.0
    pull_n: float = 0.0
    life: float = 0.0
    life_with_good_coolant: float = 0.0
    dry_s: float = 0.0
    poor_s: float = 0.0
    jerk_m: float = 0.0
    drawn_m: float = 0.0  # aside, into an old kerf
    chipped: float = 0.0
    chip_m: float = 0.0
    burr_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Chips:
    """The chips of the last cut."""

    form: Form
    colour: Colour


class Sawing:
    """The cut under way."""

    def __init__(self, site: Site, parts: Sawn, place: Axis) -> None:
        self._site = site
        self._parts = parts
        self._place = place  # of the head
        self.plan: CutPlan | None = None
        self._entered_m = 0.0
        self._quality = 1.0
        self._driven = True
        self._life_s = float("inf")
        self._dangers = 0  # marks of them on the head
        self._books = Books()
        self.chips: Chips | None = None  # of the last cut, if there was one
        # Those that lay there when the saw was found.
        self.found: Callable[[], Chips] = lambda: Chips(Form.CURLS, Colour.METAL)

    @property
    def look(self) -> tuple[str, ...]:
        """Form and colour of the chips of the last cut, if there was one."""
        return (self.chips.form, self.chips.colour) if self.chips is not None else ()

    # Running ------------------------------------------------------------------------------

    def begin(self, plan: CutPlan) -> None:
        """Begin to saw by a plan, from where the head is."""
        parts = self._parts
        self.plan = plan
        self._entered_m = self._depth_m
        self._quality = parts.coolant.quality
        self._driven = parts.band.contactor
        self._life_s = self._life_at(plan, self._quality)
        parts.band.carry(plan.current_square)
        parts.band.tension.warm(warmer_by_k(plan.table.mean_power_w, self._quality))
        self._mark(plan)

    @property
    def _depth_m(self) -> float:
        return self._parts.bar.height_m - self._place.position

    def _life_at(self, plan: CutPlan, quality: float) -> float:
        setup = plan.setup
        return band_life_s(
            self._site.machine.band_life_s,
            setup.stock.material,
            setup.band_speed_m_s,
            quality,
            self._parts.brush.extra_wear,
        ) / max(plan.teeth.toil, _LEAST_TOIL)

    def _mark(self, plan: CutPlan) -> None:
        """Put a mark on the head wherever something will happen."""
        height_m = self._parts.bar.height_m
        for index, (from_m, to_m) in enumerate(plan.beyond_m):
            self._place.mark(f"wander-{index}", height_m - from_m, self._wanders, includes=False)
            self._place.mark(f"steady-{index}", height_m - to_m, self._wanders, includes=False)
        dangers = [
            *plan.dangers_from(self._entered_m), *self._outliving(plan), *self._rubbing(plan),
            *self._pinching(plan),
        ]  # fmt: skip
        self._dangers = len(dangers)
        for index, danger in enumerate(dangers):
            at_m = min(height_m - danger.depth_m, self._place.position)
            self._place.mark(f"danger-{index}", at_m, partial(self._meet, danger))

    def _outliving(self, plan: CutPlan) -> tuple[Danger, ...]:
        """Return where sharp teeth would come to the end of their life in this cut, burnt dull or worn."""
        blade, table = self._parts.blade, plan.table
        if plan.setup.blade.name != SHARP or not self._parts.band.contactor:
            return ()
        left_s = (1.0 - blade.wear) * self._life_s
        since_s = table.time_at_s(self._entered_m)
        if since_s + left_s >= table.duration_s:
            return ()
        setup, at_m = plan.setup, table.depth_at_m(since_s + max(left_s, 0.0))
        if self._life_s >= _SOON_S:
            return (Danger(at_m, "band-outlived"),)
        return (
            Danger(
                at_m,
                "teeth-dulled",
                _LASTS(
                    speed=setup.band_speed_m_s,
                    metal=setup.stock.material.title,
                    last=self._life_s,
                ),
            ),
        )

    def _rubbing(self, plan: CutPlan) -> tuple[Danger, ...]:
        """Return where it would be seen that the teeth rub instead of cutting."""
        teeth, table = plan.teeth, plan.table
        hardened = plan.setup.stock.material.hardened
        starves = plan.setup.blade.name == SHARP and starved(teeth.chip_m, hardened)
        rubs = starves or rubs_badly(teeth.rubbed, hardened)
        if not rubs or self._site.told_this_cut("teeth-rubbed"):
            return ()
        since_s = table.time_at_s(self._entered_m)
        seen_s = min(since_s + _RUBS_FOR_S, (since_s + table.duration_s) / 2.0)
        fields = {
            "chip": teeth.chip_m,
            "share": teeth.rubbed,
            "cost": min(table.duration_s / self._life_s, 1.0),
            "due": self._due(plan),
        }
        hard = hardened >= _HARDENS
        detail = _RUBBED_HARD(hardened=hardened, **fields) if hard else _RUBBED(**fields)
        cost = max(fields["cost"] - fields["due"], 0.0)
        return (Danger(table.depth_at_m(seen_s), "teeth-rubbed", detail, cost),)

    def _pinching(self, plan: CutPlan) -> tuple[Danger, ...]:
        """Return where the stress in the bar would close the kerf on the band; a kerf that did is sawn wide again."""
        stock, height_m = plan.setup.stock, self._parts.bar.height_m
        if not stock.pressing_pa:
            return ()
        young_pa, density = stock.material.young_pa, stock.material.density_kg_m3
        hanging_pa = kerf.hanging_pa(density, self._parts.bar.front_m, height_m)
        room = 2.0 * kerf.room_m(self._parts.blade.kerf_m, self._site.machine.band_thickness_m)
        at_m = kerf.pinched_at_m(stock.pressing_pa, young_pa, height_m, room, hanging_pa)
        if at_m is None or at_m <= self._entered_m:
            return ()
        closed_m = kerf.mouth_closed_m(stock.pressing_pa, young_pa, at_m, height_m)
        closed_m -= kerf.mouth_opened_m(hanging_pa, young_pa, at_m, height_m)
        return (Danger(at_m, "kerf-pinched", _PINCHED(depth=at_m, closed=closed_m, room=room)),)

    def _due(self, plan: CutPlan) -> float:
        """Return the share of a band's life that the cut of a plan costs with a fair chip."""
        teeth, setup = plan.teeth, plan.setup
        sharp_s = self._life_s * max(teeth.toil, _LEAST_TOIL)  # at that speed, of a known way
        way = plan.table.duration_s * teeth.chip_m / FAIR_CHIP_M  # of time, at the fair chip's feed
        width = setup.stock.section.area_m2 * plan.table.widening / self._parts.bar.height_m
        hardened = setup.stock.material.hardened
        wear = wear_by_chip(FAIR_CHIP_M, 0.0, hardened)
        return way * wear * width / CONTACT_OF_REFERENCE_M / sharp_s

    def unmark(self) -> None:
        """Take the marks of the present plan off the head."""
        plan = self.plan
        if plan is None:
            return
        for index in range(len(plan.beyond_m)):
            self._place.unmark(f"wander-{index}")
            self._place.unmark(f"steady-{index}")
        for index in range(self._dangers):
            self._place.unmark(f"danger-{index}")
        self._dangers = 0

    def leave(self, depth_m: float) -> None:
        """Leave the plan at a depth: enter in the books what it came to."""
        plan = self.plan
        if plan is None:
            return
        self.unmark()
        self.plan = None
        self._parts.band.carry(0.0)
        self._parts.band.tension.warm(0.0)
        self._enter(plan, self._entered_m, depth_m)

    def _enter(self, plan: CutPlan, from_m: float, to_m: float) -> None:
        table, books = plan.table, self._books
        spent_s = table.time_at_s(to_m) - table.time_at_s(from_m)
        if spent_s <= 0.0:
            return
        machine, holding_n = self._site.machine, plan.setup.holding_n
        area_m2 = plan.area_m2(from_m, to_m)
        self._use(plan, spent_s, area_m2)
        books.duration_s += spent_s
        books.area_m2 += area_m2
        books.wander_m = max(books.wander_m, plan.wander_m(from_m, to_m))
        of = plan.setup.stock.section, table.widening
        turns, slides = skew_at(*of), slide_at(*of)
        books.skew_m += creep_m(table, holding_n, turns, machine.skew_rate, from_m, to_m)
        books.slide_m += creep_m(table, holding_n, slides, machine.slide_rate, from_m, to_m)
        books.pull_n = max(books.pull_n, plan.peak_pull_n)
        books.life += spent_s / self._life_s
        books.life_with_good_coolant += spent_s / self._life_at(plan, 1.0)
        # A band that coasts runs without coolant, whoever stopped it; that is held against nobody.
        if self._driven and self._quality <= 0.0:
            books.dry_s += spent_s
        elif self._driven and self._quality < _GOOD_ENOUGH:
            books.poor_s += spent_s
        if plan.setup.surge > 1.0:
            books.jerk_m = max(books.jerk_m, table.law.free_feed_m_s * machine.jerk_s)

    def left_kerf(self, depth_m: float) -> None:
        """Leave in the bar what was sawn so far."""
        blade, machine = self._parts.blade, self._site.machine
        own_m = blade.kerf_m
        room = kerf.room_m(own_m, machine.band_thickness_m)
        self._parts.bar.saw_to(depth_m, own_m, room, blade.number)

    def come_beside(self) -> None:
        """Be drawn into an old kerf on whose edge the band comes down: the face leans by as much."""
        beside = self._parts.bar.kerf_beside
        if beside is None:
            return
        old, off_m = beside
        self._site.tell("drawn-into-kerf", _DRAWN(off=abs(off_m), depth=old.depth_m))
        self._books.drawn_m = max(self._books.drawn_m, abs(off_m))

    def _use(self, plan: CutPlan, spent_s: float, area_m2: float) -> None:
        """Wear the teeth by a run, and throw its chips."""
        teeth, blade = plan.teeth, self._parts.blade
        chipped = chipped_off(teeth.chip_m, blade.sawn_m2, area_m2)
        blade.use(spent_s / self._life_s + chipped, area_m2)
        self._books.chipped += chipped
        self._books.chip_m = max(self._books.chip_m, teeth.chip_m)
        self._books.burr_m = burr_m(
            teeth.chip_m, blade.condition.edge_m, max(blade.wear, blade.worn)
        )  # of the run that comes out below
        self.chips = self._thrown(plan)

    def _thrown(self, plan: CutPlan) -> Chips:
        """Return the chips that a plan throws, with the coolant there is."""
        teeth, setup = plan.teeth, plan.setup
        torn = setup.blade.name == STRIPPED
        form = Form.TORN if torn else chip_form(teeth.chip_m, teeth.rubbed)
        colour = chip_colour(
            setup.stock.material,
            teeth.chip_m,
            setup.band_speed_m_s,
            self._quality,
            setup.blade.force,
        )
        return Chips(form, colour)

    @property
    def thrown(self) -> Chips | None:
        """The chips of the cut under way, or of the last one; None before there was one."""
        return self._thrown(self.plan) if self.plan is not None else self.chips

    # What happens on the way --------------------------------------------------------------

    @property
    def wander_m(self) -> float:
        """What the deviation gauge shows now, m."""
        return self.plan.wander.at_m(self._depth_m) if self.plan is not None else 0.0

    def sense(self) -> None:
        """Show the deviation switch what there is."""
        plan, beyond = self.plan, False
        if plan is not None and plan.beyond_m:
            here_m = self._depth_m
            beyond = any(from_m <= here_m < to_m for from_m, to_m in plan.beyond_m)
        self._site.bus.drive("B52", not beyond)

    def _wanders(self, _above: bool) -> None:
        self.sense()

    def _meet(self, danger: Danger, above: bool) -> None:
        if above or self.plan is None:
            return
        if not self._parts.band.contactor:
            # Band and wheels keep some hundred joules, a moment's cutting: what a tooth could not carry
            # brings them to rest first; chosen for this saw.
            self._parts.band.arrest()
            return
        self._site.tell(danger.kind, danger.detail, band_life=danger.band_life)
        if danger.kind == "teeth-stripped":
            self._parts.blade.set_condition(STRIPPED)
        elif danger.kind == "teeth-dulled":
            self._parts.blade.set_condition(WORN)
        elif danger.kind in STALLS:
            self._parts.band.stall()

    def dive(self, left_m: float) -> None:
        """Go through the last of the bar at once, m, as fast as the head springs down."""
        plan, blade = self.plan, self._parts.blade
        if plan is None:
            return
        self._site.tell("dived-through", _DIVED(left=left_m))
        depth_m = plan.setup.stock.section.height_m - left_m
        surge = self._site.machine.dive_m_s / plan.table.feed_m_s_at(depth_m)
        strain = tooth_strain_at(plan.table, depth_m, surge, plan.setup.packed)
        if strain > 1.0 and blade.condition.name != STRIPPED:
            self._site.tell("teeth-stripped", _STRIPPED(strain=strain))
            blade.set_condition(STRIPPED)

    # The parting --------------------------------------------------------------------------

    def part(self) -> Piece | None:
        """Close the books on a cut that went through; return the piece, None for a mere skim."""
        books, self._books = self._books, Books()
        parts, machine = self._parts, self._site.machine
        aside_m = max(books.wander_m, books.drawn_m)
        pitch = aside_m / parts.bar.height_m + parts.supports.tilt_rad
        yaw = books.skew_m / (machine.cutting_jaw_m / 2.0) + parts.swivel.askew_rad(books.pull_n)
        yaw += parts.cut.bow_leans_rad
        out_of_square = hypot(pitch, yaw)
        section = parts.bar.stock.section
        gaps_m = pitch * section.height_m, yaw * section.width_m
        self._tell(books, out_of_square, hypot(*gaps_m))
        # To which side uneven teeth push the band nobody knows; a bar that hangs is short above.
        hangs = parts.supports.tilt_rad * parts.bar.height_m > aside_m
        piece = parts.bar.part(
            books.slide_m, out_of_square, books.burr_m, gaps_m, gapes_at_top=hangs
        )
        self._site.next_cut()
        parts.brush.sawn(books.area_m2, books.duration_s)
        parts.band.guide.shake(books.area_m2)
        return piece

    def _tell(self, books: Books, out_of_square: float, face_m: float) -> None:
        site, machine, bar = self._site, self._site.machine, self._parts.bar
        if machine.leans(out_of_square, face_m):
            site.tell(
                "cut-out-of-square",
                _OUT_OF_SQUARE(out=out_of_square * 100 * MM, length=100 * MM, face=face_m),
                scrap_m=bar.front_m,
            )
        moved_m = max(books.skew_m, books.slide_m)
        if moved_m > machine.slip_seen_m:
            site.tell(
                "bar-slipped",
                _SLIPPED(
                    turn=books.skew_m,
                    slide=books.slide_m,
                    pull=books.pull_n,
                    held=self._parts.cut.holding_n,
                ),
                scrap_m=bar.front_m,
            )
        if books.chipped >= _CHIPPED:
            site.tell(
                "not-run-in",
                _NOT_RUN_IN(sawn=self._parts.blade.sawn_m2, chip=books.chip_m, cost=books.chipped),
                band_life=books.chipped,
            )
        if books.jerk_m > 0.0:
            site.tell("descent-jerky", _JERKS(step=books.jerk_m))
        dry = books.dry_s > books.poor_s
        if books.dry_s > 0.0 or books.poor_s > 0.0:
            site.tell(
                "cut-dry" if dry else "coolant-poor",
                (_DRY if dry else _POOR)(
                    area=books.area_m2, cost=books.life, due=books.life_with_good_coolant
                ),
                band_life=books.life - books.life_with_good_coolant,
            )
