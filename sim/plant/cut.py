"""The cut that the head would make now: its table, its dangers, and how the band wanders in it.

A plan depends on nothing but its `CutSetup`, so it is made once and remembered for as long as
nothing it depends on changes. Healthy plans carry no dangers and cost nothing more in the cut.
"""

from dataclasses import dataclass
from math import fsum
from typing import NamedTuple

from sim.plant.band import BandDrive
from sim.plant.bar import Bar, Stock
from sim.plant.blade import STRIPPED, Blade, Condition
from sim.plant.supports import Supports
from sim.plant.surroundings import Site
from sim.plant.swivel import Swivel
from sim.plant.vise import Vise
from sim.trade.band import centre_compliance_m_n, runs_out_at_n, strand_force_n
from sim.trade.creep import snatched_at
from sim.trade.cut_table import CutTable
from sim.trade.cutting import CutConditions, chip_thickness_m
from sim.trade.teeth import (
    depths_to_look_at_m,
    gullet_fill_at,
    strain_at_most,
    tooth_strain_at,
    walls_m,
)
from sim.trade.toothed_cut import ToothedCut, ToothEdge, toothed_cut
from sim.trade.wander import Wander, peak_pull_n, pull_n
from sim.words.fields import micrometres, newtons, number, percent
from sim.words.message import NOTHING, Message, row

_LEAST_DESCENT_M_S = 1e-6  # below this the feed valve counts as shut
_MOST_PLANS = 32
_AREA_CELLS = 32
_HAIR_M = 1e-6
_COUNTED = 0.1  # teeth; fewer are none

_HELD = row(
    "harm.bar-snatched.detail",
    "The band pulled with {pull} and the vise held {held}.",
    pull=newtons(), held=newtons(),
)  # fmt: skip
_STALLED = row(
    "harm.band-stalled.detail",
    "The cut wanted {pull} and the drive passes on {limit}.",
    pull=newtons(), limit=newtons(),
)  # fmt: skip
_PACKED = row(
    "harm.chips-packed.detail",
    "The chips wanted {fill} times the room of the gullets.",
    fill=number(1),
)
_PACKED_OLD = row(
    "harm.chips-packed.old",
    "The chips wanted {fill} times the room of the gullets, old chips in {old} of them.",
    fill=number(1), old=percent(),
)  # fmt: skip
_STRIPPED_COMING_ON = row(
    "harm.teeth-stripped.coming-on",
    "On coming on to the bar, with a chip of {chip}, it carried {strain} times what it stands.",
    chip=micrometres(1), strain=number(2),
)  # fmt: skip
_STRIPPED_IN_WALL = row(
    "harm.teeth-stripped.in-wall",
    "With {teeth} teeth in the wall, with a chip of {chip}, it carried {strain} times what it stands.",
    teeth=number(1), chip=micrometres(1), strain=number(2),
)  # fmt: skip


class CutSetup(NamedTuple):
    """All that a cut depends on."""

    stock: Stock
    feed_force_n: float
    valve_m_s: float
    band_speed_m_s: float
    pitch_m: float
    blade: Condition
    packed: float  # share of the gullets
    mitre_rad: float
    span_m: float
    guide_play: float  # give of the span by that of sound guides
    tension_pa: float
    holding_n: float  # along the jaws, of the bar that is held least
    pull_limit_n: float  # of wheels and belt
    surge: float  # how many times its even pace the head makes when it comes down in jerks


@dataclass(frozen=True, slots=True)
class Danger:
    """Something that happens at a depth of the cut, if it goes on as planned."""

    depth_m: float
    kind: str
    detail: Message = NOTHING
    band_life: float | None = None  # share that it costs, where it was worked out


@dataclass(frozen=True, slots=True)
class CutPlan:
    """One cut from top to bottom."""

    setup: CutSetup
    table: CutTable
    teeth: ToothedCut  # what it asks of them
    wander: Wander
    most_wander_m: float  # of the whole cut
    beyond_m: tuple[tuple[float, float], ...]  # depths at which the deviation gauge is beyond range
    dangerous: bool  # whether `dangers_from` can find anything
    current_square: float  # mean, by the rated current

    @property
    def peak_pull_n(self) -> float:
        """Largest force along the band, N."""
        return peak_pull_n(self.table)

    def _is_whole(self, from_m: float, to_m: float) -> bool:
        """Whether two depths are top and bottom of the bar, to within the travel of a microsecond."""
        return from_m <= _HAIR_M and to_m >= self.setup.stock.section.height_m - _HAIR_M

    def wander_m(self, from_m: float, to_m: float) -> float:
        """Return the largest deviation of the band between two depths, m."""
        if self._is_whole(from_m, to_m):
            return self.most_wander_m
        return self.wander.most_m(from_m, to_m)

    def area_m2(self, from_m: float, to_m: float) -> float:
        """Return the area sawn between two depths, m2; good to a per cent or so."""
        section = self.setup.stock.section
        if self._is_whole(from_m, to_m):
            return section.area_m2 * self.table.widening
        cell_m = (to_m - from_m) / _AREA_CELLS
        middles_m = (from_m + (i + 0.5) * cell_m for i in range(_AREA_CELLS))
        return cell_m * fsum(self.table.contact_m_at(depth_m) for depth_m in middles_m)

    def dangers_from(self, depth_m: float) -> tuple[Danger, ...]:
        """Return what would happen below a depth, each kind at the first depth at which it does."""
        if not self.dangerous:
            return ()
        first: dict[str, Danger] = {}
        looked_at = depths_to_look_at_m(self.setup.stock.section)
        for at_m in (depth_m, *(d for d in looked_at if d > depth_m)):
            for danger in _dangers_at(self.setup, self.table, at_m):
                first.setdefault(danger.kind, danger)
        return tuple(sorted(first.values(), key=lambda danger: danger.depth_m))


class CutPlanner:
    """Works out plans and remembers the last ones."""

    def __init__(  # one argument a part that a cut depends on
        self,
        site: Site,
        band: BandDrive,
        blade: Blade,
        bar: Bar,
        vise: Vise,
        supports: Supports,
        swivel: Swivel,
    ) -> None:
        self._site = site
        self._band = band
        self._blade = blade
        self._bar = bar
        self._vise = vise
        self._supports = supports
        self._swivel = swivel
        self._made: dict[CutSetup, CutPlan] = {}
        self._last: CutPlan | None = None  # comparing is cheaper than looking up

    @property
    def pitch_m(self) -> float:
        """Tooth pitch of the band that is fitted, m."""
        return self._blade.pitch_m

    @property
    def holding_n(self) -> float:
        """What the cutting vise holds along its jaws, of the bar that is held least, N."""
        return self._vise.holding_n * self._supports.held_share

    @property
    def bow_leans_rad(self) -> float:
        """By how much the face is out of square to its piece because the bar is bowed, rad."""
        return self._bar.leans_rad(self._vise.force_n, self._site.machine.cutting_jaw_m)

    def plan(self, force_n: float, valve_m_s: float, surge: float = 1.0) -> CutPlan | None:
        """Return the cut from top to bottom of the bar, or None when nothing would be cut.

        Args:
            force_n: Feed force, N.
            valve_m_s: Fastest descent that the feed valve allows, m/s.
            surge: How many times its even pace the head makes while it slips, when it sticks and slips.
        """
        band, blade = self._band, self._blade
        speed_m_s = band.cutting_speed_m_s
        if speed_m_s <= 0.0 or valve_m_s <= _LEAST_DESCENT_M_S or not blade.cuts:
            return None
        setup = CutSetup(
            stock=self._bar.stock,
            feed_force_n=force_n,
            valve_m_s=valve_m_s,
            band_speed_m_s=speed_m_s,
            pitch_m=blade.pitch_m,
            blade=blade.condition,
            packed=blade.packed,
            mitre_rad=self._swivel.mitre_rad,
            span_m=band.guide.span_m,
            guide_play=band.guide.play * band.seat.led_aside,
            tension_pa=band.tension.cold_pa,
            holding_n=self.holding_n,
            pull_limit_n=band.pull_limit_n,
            surge=surge,
        )
        last = self._last
        if last is not None and last.setup == setup:
            return last
        plan = self._made.get(setup)
        if plan is None:
            if len(self._made) >= _MOST_PLANS:
                self._made.clear()
            plan = self._made[setup] = self._work_out(setup)
        self._last = plan
        return plan

    def table(self, force_n: float, valve_m_s: float) -> CutTable | None:
        """Return the table of `plan` alone."""
        plan = self.plan(force_n, valve_m_s)
        return plan.table if plan is not None else None

    def _work_out(self, setup: CutSetup) -> CutPlan:
        machine, material = self._site.machine, setup.stock.material
        teeth = toothed_cut(
            setup.stock.section,
            setup.feed_force_n,
            setup.valve_m_s,
            CutConditions(
                kc11_pa=material.kc11_pa * setup.blade.force,
                mc=material.mc,
                pitch_m=setup.pitch_m,
                kerf_m=machine.kerf_m,
                band_speed_m_s=setup.band_speed_m_s,
                thrust_ratio=machine.thrust_ratio * setup.blade.thrust,
            ),
            ToothEdge(setup.blade.edge_m, material.hardened),
            setup.mitre_rad,
        )
        table = teeth.table
        strip = self._band.tension.strip
        strand_n = strand_force_n(setup.tension_pa, strip)
        give_m_n = centre_compliance_m_n(setup.span_m, strand_n, strip.sideways_stiffness_n_m2)
        wander = Wander(
            table,
            setup.blade.side * teeth.sideways * setup.guide_play * give_m_n,
            runs_out_at_n(setup.span_m, strand_n, strip),
        )
        squares = [self._band.square_of(power_w) for power_w in teeth.powers_w]
        return CutPlan(
            setup=setup,
            table=table,
            teeth=teeth,
            wander=wander,
            most_wander_m=wander.most_of_all_m,
            beyond_m=wander.beyond_m(machine.wander_limit_m),
            dangerous=_is_dangerous(setup, table),
            current_square=fsum(squares) / len(squares),
        )


def _is_dangerous(setup: CutSetup, table: CutTable) -> bool:
    """Return whether anything is too much at any depth of a cut."""
    section = setup.stock.section
    pull_at_most_n = peak_pull_n(table)
    if (
        pull_at_most_n * snatched_at(section, table.widening) <= setup.holding_n
        and pull_at_most_n <= setup.pull_limit_n
        and strain_at_most(table, setup.surge, setup.packed) <= 1.0
    ):
        return False
    return any(_dangers_at(setup, table, depth_m) for depth_m in depths_to_look_at_m(section))


def _dangers_at(setup: CutSetup, table: CutTable, depth_m: float) -> list[Danger]:
    """Return what is too much at a depth of a cut."""
    found: list[Danger] = []
    load_n = pull_n(table, depth_m)
    if load_n * snatched_at(setup.stock.section, table.widening) > setup.holding_n:
        found.append(Danger(depth_m, "bar-snatched", _HELD(pull=load_n, held=setup.holding_n)))
    if load_n > setup.pull_limit_n:
        found.append(
            Danger(depth_m, "band-stalled", _STALLED(pull=load_n, limit=setup.pull_limit_n))
        )
    fill = gullet_fill_at(table, depth_m, setup.surge, setup.packed)
    if fill > 1.0:
        found.append(Danger(depth_m, "chips-packed", _packed(fill, setup)))
    strain = tooth_strain_at(table, depth_m, setup.surge, setup.packed)
    if strain > 1.0 and setup.blade.name != STRIPPED:
        found.append(Danger(depth_m, "teeth-stripped", _stripped(strain, table, depth_m, setup)))
    return found


def _packed(fill: float, setup: CutSetup) -> Message:
    return _PACKED_OLD(fill=fill, old=setup.packed) if setup.packed else _PACKED(fill=fill)


def _stripped(strain: float, table: CutTable, depth_m: float, setup: CutSetup) -> Message:
    cut = table.conditions
    wall_m, _ = walls_m(table.section, depth_m)
    teeth = wall_m * table.widening / cut.pitch_m
    feed_m_s = table.feed_m_s_at(depth_m) * setup.surge
    chip_m = chip_thickness_m(feed_m_s, cut.pitch_m, cut.band_speed_m_s)
    if teeth < _COUNTED:
        return _STRIPPED_COMING_ON(chip=chip_m, strain=strain)
    return _STRIPPED_IN_WALL(teeth=teeth, chip=chip_m, strain=strain)
