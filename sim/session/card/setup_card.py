"""The set-up card: what a good operator would set for a job, with the reason and its source.

The feed force is the smallest of several: what a fair chip takes, and what the vise, the band, the
motor and a square face allow. Everything else follows from it or from the bar. Nothing is looked up
by scenario.

Where teeth would rub at that force, another pitch is looked for, and then more tension and less in
reserve: then it counts, too, that in a low bar the band has hardly any depth to wander in. There are bars
at which nothing helps, thin and hard: the card then has what does the least harm, and `soundness` says that
no plan is sound.
"""

from dataclasses import dataclass, replace
from enum import Enum
from functools import lru_cache
from itertools import product
from math import ceil, cos, floor, inf, radians
from typing import Final

from sim.control.site_rows import as_shipped, rows_of
from sim.faults.catalogue import CLEARANCE_M
from sim.plant.bar import Stock
from sim.plant.blade import CONDITIONS, SHARP
from sim.plant.brush import SWEPT_FROM
from sim.plant.machine import Machine
from sim.plant.set_points.row import Setting
from sim.plant.vise import JAW_GAPS
from sim.session.card.card_reasons import (
    BETWEEN_INDEX,
    CLOSEST,
    CUTS,
    FASTEST,
    FORCE_BY,
    GEOMETRY,
    GLASS,
    KIENZLE,
    LEFT_BRUSH,
    LEFT_SOURCE,
    LEFT_SPAN,
    LEFT_TENSION,
    LEVEL,
    MEMORY,
    MITRED_STOP,
    OFF_CHART,
    OIL,
    ORDER,
    OWN_ROWS,
    PLATE,
    PRACTICE,
    REASON,
    REASONS,
    SLOWEST,
    STATICS,
    STRENGTH,
    TANK,
    TENSE,
    VALVE,
    VALVE_AS_IT_IS,
    VALVE_NO_LONGER,
    WORKSHOP,
    Bound,
)  # fmt: skip
from sim.trade import edge
from sim.trade.band import centre_compliance_m_n, runs_out_at_n, strand_force_n
from sim.trade.choice import (
    band_speed_m_s,
    coarser_pitches_m,
    stock_pitches_m,
    too_few_teeth,
    tooth_pitch_m,
)
from sim.trade.clamping import (
    Jaws,
    clamping_force_n,
    clamping_window_pa,
    holding_force_n,
    pressure_to_hold_pa,
)
from sim.trade.creep import skew_at
from sim.trade.cutting import CutConditions, cutting_force_n
from sim.trade.edge import (
    EASY_CHIP_M,
    EDGE_FRESH_M,
    EDGE_SHARP_M,
    FAIR_CHIP_M,
    rubbing_felt,
    rubs_badly,
    starved,
)
from sim.trade.length import index_travel_m, strokes_needed
from sim.trade.life import LEAN, RICH
from sim.trade.materials import Material
from sim.trade.mitre import kerf_along_m, lean_m
from sim.trade.motor import Motor, rated_current_a
from sim.trade.sections import Bundle, Section, bars_in, mitre_factor
from sim.trade.teeth import (
    depths_to_look_at_m,
    feed_for_teeth_m_s,
    gullet_depth_m,
    gullet_fill_at,
    tooth_strain_at,
)
from sim.trade.toothed_cut import ToothedCut, ToothEdge, toothed_cut
from sim.trade.wander import MAGNIFIED_FROM, most_thrust_n, peak_pull_n
from sim.units import BAR, GRAVITY_M_S2, INCH, MINUTE, MM, MPA
from sim.words.message import Message, Row, quoted

CHIP_M: Final = FAIR_CHIP_M
RUN_PAST_MM: Final = 5.0  # how far the counter is run past its setting; common practice
TENSION_MPA: Final = 225.0  # the middle of 150 to 300
TENSE_MPA: Final = 275.0  # within 150 to 300; where a band has to be pressed harder and stay square
GUIDE_CLEAR_M: Final = 10 * MM  # each guide from the bar
GUIDE_FAR_M: Final = 25 * MM  # clear of the bar by more, it is not as close as it goes; a choice
# What is left as it is found; common practice, no source:
_GAUGE: Final = 0.05  # of the band tension, since nobody reads a gauge nearer
_BRUSH_MM: Final = 0.5  # of the brush's depth, either way
_SPAN_MM: Final = (10, 5)  # that the guides may stand wider than asked, the most first
SAFETY: Final = 1.5  # of clamping, stall and squareness over what the cut asks
SCANT: Final = 1.2  # of them, where the teeth only rub with more
MOST_TENSE_MPA: Final = (
    300.0  # where a face runs off square even with `TENSE_MPA`; the end of the range
)
MOTOR_SHARE: Final = 0.35  # of its rating that goes into cutting, at the most
_BITES: Final = 0.1  # share of rubbing under which nobody fits coarser teeth for it
_FAIRLY: Final = (
    0.15  # of what is told as rubbing; above it a band goes blunt within a few wide cuts
)
_WORTH: Final = 1.1  # times the feed force, under which nobody tensions a band anew
_MARGIN: Final = (
    0.9  # of what a face may run off, for a band wears; and of teeth in the last resorts
)
_NEARBY: Final = 2.6  # times coarser or finer than the chart's, the furthest that is looked at
ANY_M: Final = 1.0  # length of bar and piece, where feed alone is asked for
_LONGER: Final = 1.05  # times the time of a cut, under which nobody notices
_HAIR_M: Final = 1e-9
_HAIR: Final = 1e-9
_SAME: Final = 1e-6  # in the unit of the set point: what conversion to SI and back may lose
_AMPLE: Final = 2.0  # times the level at which a tank's switch lets go; common practice, no source
_FILLED: Final = 80  # per cent of a tank, where it is filled
_LOOKS: Final = 64  # depths at which the contact is looked at
_LAST_RESORTS: Final = (
    (TENSE_MPA, 1.0, 1.0),
    (MOST_TENSE_MPA, 1.0, 1.0),
    *product((TENSE_MPA,), (1.3, 1.6, 2.0, 2.5, 3.2, 4.0, 5.0), (1.0, 0.8, 0.6)),
)
"""Tension, MPa; times the feed valve that teeth bear at any force, where this force keeps their chips thin; share of that force."""


@dataclass(frozen=True, slots=True)
class Line:
    """One setting."""

    name: str  # set point, or `band.speed_m_min`, which is set by keys with the band running
    setting: Setting
    why: Message  # a clause
    source: Message = PRACTICE
    within: tuple[float, float] | None = None  # as it is found; it is then left alone

    @property
    def reason(self) -> Message:
        """Why, as a sentence."""
        return REASON(why=self.why)

    def will_do(self, there: Setting) -> bool:
        """Return whether what is found needs no hand: it is as it should be, or within what is left alone."""
        if isinstance(there, str) or isinstance(self.setting, str):
            return there == self.setting
        low, high = self.within or (self.setting, self.setting)
        return low - _SAME <= there <= high + _SAME


@dataclass(frozen=True, slots=True)
class JobOrder:
    """What is to be cut."""

    piece_m: float
    wanted: int
    mitre_deg: float = 0.0

    def kerf_along_m(self, machine: Machine) -> float:
        """Return what each cut takes of the bar along its length, m."""
        return kerf_along_m(machine.kerf_m, radians(self.mitre_deg))

    def trim_m(self, width_m: float) -> float:
        """Return the least by which a square end must stand out past the band for the first cut, m."""
        return lean_m(width_m, radians(self.mitre_deg))


@dataclass(frozen=True, slots=True)
class CardFeed:
    """How the card feeds a band into a bar."""

    speed_m_s: float
    pitch_m: float
    force_n: float
    valve_m_s: float
    force_by: Bound = Bound.CHIP  # the limit that sets the force
    tension_mpa: float = TENSION_MPA


class Fails(Enum):
    """What makes a plan unsound: each is a harm to band, face or bar that the cut would come to."""

    STRIPS = "strips"
    TURNS = "turns"
    RUNS_OFF = "runs-off"
    RUBS = "rubs"


@dataclass(frozen=True, slots=True)
class Reserve:
    """How tight the band is and how much is kept back; the second kind is for where nothing else bites."""

    tension_mpa: float = TENSION_MPA
    safety: float = SAFETY
    opened: float = 1.0  # times the feed valve that teeth bear at any feed force
    pressed: float = 1.0  # share of the force that the limits leave
    plugged: bool = False  # whether a plug bears the walls of a tube between the jaws


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything on the card that takes working out."""

    speed_m_s: float
    pitch_m: float
    tension_mpa: float
    span_m: float
    force_n: float
    valve_m_s: float
    clamping_pa: float
    rubbed: float  # share of their way on which sharp teeth then rub
    square: float  # how far its face wanders, by what is seen
    strain: float  # of the tooth or gullet that has it hardest, by what it stands
    force_by: Bound  # the limit that sets the force
    fails: tuple[Fails, ...] = ()  # what makes it unsound, the worst first

    @property
    def valve_mm_min(self) -> int:
        """The feed valve as its scale is set, whole mm/min."""
        return round(self.valve_m_s / MM * 60)


def strokes_for(machine: Machine, order: JobOrder) -> int:
    """Return how many strokes of the shuttle a piece needs."""
    room_m = machine.stroke_m - RUN_PAST_MM * MM  # the counter must go past its setting and back
    return strokes_needed(order.piece_m, order.kerf_along_m(machine), room_m)


@lru_cache(maxsize=64)
def card(machine: Machine, stock: Stock, order: JobOrder) -> tuple[Line, ...]:
    """Return the lines of the card, in the order in which they are set."""
    plan = plan_of(machine, stock, order)
    return (
        *_standing_lines(machine),
        *_band_lines(machine, stock, order, plan),
        *_head_lines(machine, stock, order, plan),
        *_bar_lines(machine, stock, order, plan),
    )


@lru_cache(maxsize=64)
def plan_of(machine: Machine, stock: Stock, order: JobOrder, *, plugged: bool = False) -> Plan:
    """Return the plan with the pitch of the band charts, or with what bites if that does not.

    Where no plan is sound it is the one that does the least harm, and `Plan.fails` tells why.

    Args:
        machine: The saw.
        stock: The bar.
        order: What is cut from it.
        plugged: Whether a plug bears the walls of a tube between the jaws.
    """
    section, widening = stock.section, mitre_factor(radians(order.mitre_deg))
    charted_m, ample = tooth_pitch_m(section, widening), Reserve(plugged=plugged)
    plan = _plan_with(machine, stock, order, charted_m, ample)
    for pitch_m in coarser_pitches_m(charted_m):
        if plan.rubbed < _BITES or too_few_teeth(section, pitch_m, widening):
            break
        other = _plan_with(machine, stock, order, pitch_m, ample)
        if other.rubbed < plan.rubbed:
            plan = other
    if _cuts_well(plan, stock):
        return plan
    for tension_mpa, opened, share in _LAST_RESORTS:
        reserve = Reserve(tension_mpa, SCANT, opened, share, plugged)
        pressed = _pressed_plan(machine, stock, order, charted_m, reserve)
        if pressed is not None and (
            pressed.rubbed < plan.rubbed or len(plan.fails) > len(pressed.fails)
        ):
            plan = pressed
        if not plan.fails:
            break
    return plan


def feed_of(
    machine: Machine,
    material: Material,
    section: Section,
    mitre_deg: float = 0.0,
    pitch_m: float | None = None,
) -> CardFeed:
    """Return the feed that the card has for a bar.

    Args:
        machine: The saw.
        material: The metal.
        section: The bar as it lies.
        mitre_deg: Swivel of the head from the square cut, degrees.
        pitch_m: Tooth pitch, m; the card's own where None.
    """
    stock, order = Stock(material, section, ANY_M, 0.0), JobOrder(ANY_M, 1, mitre_deg)
    plan = (
        plan_of(machine, stock, order)
        if pitch_m is None
        else _plan_with(machine, stock, order, pitch_m, Reserve())
    )
    valve_m_s = plan.valve_mm_min * MM / 60
    return CardFeed(
        plan.speed_m_s, plan.pitch_m, plan.force_n, valve_m_s, plan.force_by, plan.tension_mpa
    )


def tighter_feed_of(
    machine: Machine, material: Material, section: Section, mitre_deg: float, pitch_m: float
) -> CardFeed | None:
    """Return how a band that is tensioned near the end of its range could be fed; None where that is no better.

    Args:
        machine: The saw.
        material: The metal.
        section: The bar as it lies.
        mitre_deg: Swivel of the head from the square cut, degrees.
        pitch_m: Tooth pitch, m.
    """
    stock, order = Stock(material, section, ANY_M, 0.0), JobOrder(ANY_M, 1, mitre_deg)
    now, plan = (
        _plan_with(machine, stock, order, pitch_m, Reserve(tension_mpa))
        for tension_mpa in (TENSION_MPA, TENSE_MPA)
    )
    if plan.fails or plan.force_n < _WORTH * now.force_n:
        return None
    return CardFeed(
        plan.speed_m_s, pitch_m, plan.force_n, plan.valve_mm_min * MM / 60, plan.force_by, TENSE_MPA
    )


def _cuts_well(plan: Plan, stock: Stock) -> bool:
    """Return whether teeth bite well enough, and the face stays square, rubbing and all."""
    return rubbing_felt(plan.rubbed, stock.material.hardened) < _FAIRLY and not plan.fails


def _pressed_plan(
    machine: Machine, stock: Stock, order: JobOrder, charted_m: float, reserve: Reserve
) -> Plan | None:
    """Return the plan that bites best with a tight band and little in reserve, whatever its pitch.

    None where no pitch bites without the face running off.
    """
    section, widening = stock.section, mitre_factor(radians(order.mitre_deg))
    tries = [
        _plan_with(machine, stock, order, pitch_m, reserve)
        for pitch_m in stock_pitches_m()
        if charted_m / _NEARBY <= pitch_m <= charted_m * _NEARBY
        and not too_few_teeth(section, pitch_m, widening)  # gullets are seen to by the valve
    ]
    bearable = [plan for plan in tries if plan.fails in ((), (Fails.RUBS,))]
    return min(bearable, key=lambda plan: plan.rubbed) if bearable else None


def _plan_with(
    machine: Machine, stock: Stock, order: JobOrder, pitch_m: float, reserve: Reserve
) -> Plan:
    """Return the plan with a pitch."""
    tension_mpa, safety = reserve.tension_mpa, reserve.safety
    section, material = stock.section, stock.material
    speed_m_s = band_speed_m_s(material, machine.band_low_m_s, machine.band_high_m_s)
    widening = mitre_factor(radians(order.mitre_deg))
    lean = cos(radians(order.mitre_deg))
    span_m = section.width_m / lean + machine.fixed_guide_m + GUIDE_CLEAR_M
    span_m = min(max(span_m, machine.guide_low_m), machine.guide_high_m)
    chip_n = machine.thrust_ratio * cutting_force_n(
        material.kc11_pa, material.mc, machine.kerf_m, CHIP_M,
        max(_longest_m(stock) * widening / pitch_m, 1.0),
    )  # fmt: skip
    jaws = machine.cutting_jaws
    turns_at = skew_at(section, widening)
    _, most_pa = clamping_window_pa(section, material, 1.0, jaws)
    if reserve.plugged:
        most_pa = inf
    most_pa = min(most_pa / SAFETY, machine.clamping_high_pa)  # shorter jaws dent sooner
    square_n = _square_n(machine, stock, span_m, tension_mpa, to_the_last=safety < SAFETY)
    limits_n = {
        Bound.CHIP: chip_n,
        Bound.VISE: _held_n(most_pa, jaws) / (turns_at * safety),
        Bound.DRIVE: _driven_n(machine, tension_mpa) / safety,
        Bound.MOTOR: MOTOR_SHARE * machine.motor_w / speed_m_s,
        Bound.FACE: square_n / safety,
        Bound.BAND: MAGNIFIED_FROM * _runs_out_n(machine, span_m, tension_mpa),
        Bound.MOST: machine.force_high_n,
    }
    force_by = min(limits_n, key=lambda bound: limits_n[bound])
    force_n: float = 10 * floor(reserve.pressed * limits_n[force_by] / 10)
    if force_n < machine.force_low_n:
        force_by, force_n = Bound.LEAST, machine.force_low_n
    conditions = _conditions(machine, material, pitch_m, speed_m_s)
    teeth_m_s = feed_for_teeth_m_s(section, conditions, widening=widening)
    teeth_m_s *= reserve.opened
    fed = CardFeed(speed_m_s, pitch_m, force_n, _on_scale_m_s(machine, teeth_m_s))
    cut = _cut(machine, stock, order, fed, EDGE_SHARP_M)
    strain = _strain(cut, section)
    if strain >= 1.0 and reserve.opened == 1.0:  # what was rubbed over is harder than the metal
        harder = replace(conditions, kc11_pa=conditions.kc11_pa * cut.harder)
        teeth_m_s = feed_for_teeth_m_s(section, harder, SCANT, widening)
        fed = replace(fed, valve_m_s=min(_on_scale_m_s(machine, teeth_m_s), fed.valve_m_s))
        cut = _cut(machine, stock, order, fed, EDGE_SHARP_M)
        strain = _strain(cut, section)
    if reserve.opened > 1.0:  # a new band has keener edges, and its chips at that force are thicker
        run_in_m_s = run_in_setting_m_s(pitch_m, speed_m_s, fed.valve_m_s / MM * MINUTE)
        new = _cut(machine, stock, order, replace(fed, valve_m_s=run_in_m_s), EDGE_FRESH_M)
        strain = max(strain, _strain(new, section))
    bears = 1.0 if reserve.opened == 1.0 else _MARGIN
    clamping_pa = _clamping_pa(machine, stock, jaws, turns_at * force_n, most_pa, safety)
    square = force_n * cut.sideways / square_n
    turns = turns_at * peak_pull_n(cut.table) > _held_n(clamping_pa, jaws)
    hardened = material.hardened
    fails = {
        Fails.STRIPS: strain >= bears,
        Fails.TURNS: turns,
        Fails.RUNS_OFF: square >= _MARGIN,
        Fails.RUBS: rubs_badly(cut.rubbed, hardened) or starved(cut.chip_m, hardened),
    }
    return Plan(
        speed_m_s, pitch_m, tension_mpa, span_m, force_n, fed.valve_m_s, clamping_pa,
        cut.rubbed, square, strain, force_by, tuple(each for each, so in fails.items() if so),
    )  # fmt: skip


def _on_scale_m_s(machine: Machine, valve_m_s: float) -> float:
    """Return a feed valve as its scale is set, m/s: whole mm/min, and no more than the saw has."""
    mm_min = floor(min(valve_m_s, machine.valve_high_m_s) / MM * MINUTE + _HAIR)
    return max(mm_min, 1) * MM / MINUTE


def _strain(cut: ToothedCut, section: Section) -> float:
    """Return how hard teeth or gullets have it where it is worst, by what they stand."""
    return max(
        max(tooth_strain_at(cut.table, depth_m), gullet_fill_at(cut.table, depth_m))
        for depth_m in depths_to_look_at_m(section)
    )


def _conditions(
    machine: Machine, material: Material, pitch_m: float, speed_m_s: float
) -> CutConditions:
    return CutConditions(
        material.kc11_pa, material.mc, pitch_m, machine.kerf_m, speed_m_s, machine.thrust_ratio
    )


def card_cut(machine: Machine, stock: Stock, order: JobOrder, plan: Plan) -> ToothedCut:
    """Return the cut of a plan, with sharp teeth, its valve as the scale is set."""
    fed = CardFeed(plan.speed_m_s, plan.pitch_m, plan.force_n, plan.valve_mm_min * MM / 60)
    return _cut(machine, stock, order, fed, EDGE_SHARP_M)


def _cut(
    machine: Machine, stock: Stock, order: JobOrder, fed: CardFeed, edge_m: float
) -> ToothedCut:
    """Return the cut of a feed, with teeth whose edge has a radius."""
    material = stock.material
    return toothed_cut(
        stock.section, fed.force_n, fed.valve_m_s,
        _conditions(machine, material, fed.pitch_m, fed.speed_m_s),
        ToothEdge(edge_m, material.hardened), radians(order.mitre_deg),
    )  # fmt: skip


def _longest_m(stock: Stock) -> float:
    section = stock.section
    depths_m = (section.height_m * (i + 0.5) / _LOOKS for i in range(_LOOKS))
    return max(section.contact_length_m(depth_m) for depth_m in depths_m)


def _held_n(pressure_pa: float, jaws: Jaws) -> float:
    clamping_n = clamping_force_n(pressure_pa, jaws.cylinder_area_m2, jaws.efficiency)
    return holding_force_n(jaws.friction, clamping_n)


def _driven_n(machine: Machine, tension_mpa: float) -> float:
    """Return the pull that wheels and belt pass on to the band."""
    return min(machine.wheels_pull_n(tension_mpa * MPA), machine.belt_n)


def _give_m_n(machine: Machine, span_m: float, tension_mpa: float) -> float:
    """Return how far the strand gives sideways in the middle of its span, m/N."""
    strand_n = strand_force_n(tension_mpa * MPA, machine.strip)
    return centre_compliance_m_n(span_m, strand_n, machine.strip.sideways_stiffness_n_m2)


def _square_n(
    machine: Machine, stock: Stock, span_m: float, tension_mpa: float, *, to_the_last: bool
) -> float:
    """Return the feed force at which a sharp band would just be seen to wander.

    To the last: as far as it has come at the bottom of the bar; else as if it had gone all the way at once.
    """
    height_m = stock.section.height_m
    aside_m_n = _give_m_n(machine, span_m, tension_mpa) * CONDITIONS[SHARP].side
    seen = max(machine.square_limit, machine.square_least_m / height_m)
    if to_the_last:
        return most_thrust_n(seen, height_m, aside_m_n)
    return seen * height_m / aside_m_n


def _runs_out_n(machine: Machine, span_m: float, tension_mpa: float) -> float:
    """Return the feed force at which the strand runs out sideways, its guides set by their scale, N."""
    strip = machine.strip
    return runs_out_at_n(_scale_mm(span_m) * MM, strand_force_n(tension_mpa * MPA, strip), strip)


def _scale_mm(span_m: float) -> int:
    """Return what the card sets the guides to for a span, whole fives of a mm."""
    return 5 * ceil(span_m / MM / 5)


def _clamping_pa(
    machine: Machine, stock: Stock, jaws: Jaws, hold_n: float, most_pa: float, safety: float
) -> float:
    """Return the clamping pressure: full for what cannot be dented, else enough and no more."""
    if most_pa >= machine.clamping_high_pa:
        return machine.clamping_high_pa
    mass_kg = stock.section.area_m2 * stock.material.density_kg_m3 * stock.length_m
    drag_n = machine.roller_drag * mass_kg * GRAVITY_M_S2
    index_n = mass_kg * machine.shuttle_m_s2 + drag_n
    load_n = max(hold_n, index_n) * safety
    return min(max(pressure_to_hold_pa(load_n, jaws), machine.clamping_low_pa), most_pa)


def clamping_bar_of(machine: Machine, material: Material, section: Section) -> int:
    """Return the clamping pressure of the card for a bar that is short, bar, as the scale is set."""
    stock, order = Stock(material, section, ANY_M, 0.0), JobOrder(ANY_M, 1)
    return _clamping_bar(machine, plan_of(machine, stock, order))


def _clamping_bar(machine: Machine, plan: Plan) -> int:
    return max(floor(plan.clamping_pa / BAR), round(machine.clamping_low_pa / BAR))


def run_in_setting_m_s(pitch_m: float, speed_m_s: float, valve_mm_min: float) -> float:
    """Return the feed valve that a new band is run in with, m/s, as the scale is set: whole mm/min.

    Args:
        pitch_m: Its tooth pitch, m.
        speed_m_s: Band speed, m/s; it counts as the dial is set, in whole m/min.
        valve_mm_min: The feed valve of a band that is run in, which a new one never gets more than.
    """
    easy_m_s = edge.run_in_valve_m_s(pitch_m, round(speed_m_s * MINUTE) / MINUTE)
    return max(min(floor(easy_m_s / MM * MINUTE), int(valve_mm_min)), 1) * MM / MINUTE


def _run_in_m_s(plan: Plan) -> float:
    return run_in_setting_m_s(plan.pitch_m, plan.speed_m_s, plan.valve_mm_min)


def run_in_mm_min(machine: Machine, stock: Stock, order: JobOrder) -> float:
    """Return the feed valve that a new band is run in with, mm/min."""
    return round(_run_in_m_s(plan_of(machine, stock, order)) / MM * 60)


def _line(name: str, setting: Setting, source: Message = PRACTICE) -> Line:
    return Line(name, setting, REASONS[name], source)


def _wanted_line(stock: Stock, order: JobOrder) -> Line:
    bars, line = bars_in(stock.section), _line("job.wanted", order.wanted, ORDER)
    return replace(line, why=CUTS(bars=bars, count=order.wanted * bars)) if bars > 1 else line


def _per_cent(share: float) -> float:
    return round(100.0 * share, 6)


def _tank_line(name: str, low: float, why: Row, source: Message) -> Line:
    """Return the line of a level, which is left alone from well above where its switch lets go."""
    enough = min(_AMPLE * low, _FILLED / 100)
    return Line(name, _FILLED, why(low=enough), source, (_per_cent(enough), 100.0))


def _cover(name: str, device: str, machine: Machine) -> Line:
    """Return the line of what covers the band; its reason tells of interlocks only where the saw has them."""
    if as_shipped(rows_of(machine.site_rows), device):
        return _line(name, "closed")
    return Line(name, "closed", OWN_ROWS[name], PRACTICE)


def _standing_lines(machine: Machine) -> tuple[Line, ...]:
    motor = Motor(
        machine.motor_w, machine.voltage_v, machine.power_factor,
        machine.motor_efficiency,
    )  # fmt: skip
    return (
        _line("supply.air_cock", "open"),
        _line("supply.air_bar", round(machine.air_normal_pa / BAR, 1)),
        _tank_line("supply.oil_percent", machine.oil_low, OIL, GLASS),
        _tank_line("coolant.level_percent", machine.coolant_low, LEVEL, TANK),
        Line(
            "coolant.concentration_percent", 8, STRENGTH(low=LEAN, high=RICH), WORKSHOP,
            (_per_cent(LEAN), _per_cent(RICH)),
        ),
        _line("coolant.wash_down", "shut"),
        _line("coolant.floor", "dry"),
        _cover("band.guard", "B41", machine),
        _cover("band.wheel_cover", "B42", machine),
        _line("band.relay", "set"),
        _line("band.relay_a", round(rated_current_a(motor), 1), PLATE),
        _line("cutting_vise.support_arm", "folded"),
    )  # fmt: skip


def _valve_reason(machine: Machine, stock: Stock, order: JobOrder, plan: Plan) -> Message:
    """Return why the feed valve is set as it is, and what a new band wants of it."""
    valve_m_s, easy_m_s = plan.valve_mm_min * MM / 60, _run_in_m_s(plan)
    if easy_m_s >= valve_m_s:
        return VALVE_AS_IT_IS(easy=EASY_CHIP_M)
    run_in = CardFeed(plan.speed_m_s, plan.pitch_m, plan.force_n, valve_m_s)
    full_s = _cut(machine, stock, order, run_in, EDGE_SHARP_M).table.duration_s
    run_in = replace(run_in, valve_m_s=easy_m_s)
    times = _cut(machine, stock, order, run_in, EDGE_FRESH_M).table.duration_s / full_s
    if times < _LONGER:
        return VALVE_NO_LONGER(valve=easy_m_s, easy=EASY_CHIP_M)
    return VALVE(valve=easy_m_s, easy=EASY_CHIP_M, times=times)


def _speed_reason(machine: Machine, material: Material) -> Message:
    """Return why the band runs as fast as it does: the saw may not reach the middle of the metal's range."""
    low_m_s, high_m_s = material.speed_low_m_s, material.speed_high_m_s
    middle_m_s = (low_m_s + high_m_s) / 2.0
    if middle_m_s > machine.band_high_m_s:
        return FASTEST(low=low_m_s, high=high_m_s)
    if middle_m_s < machine.band_low_m_s:
        return SLOWEST(low=low_m_s, high=high_m_s)
    return REASONS["band.speed_m_min"]


def _span_line(machine: Machine, stock: Stock, order: JobOrder, plan: Plan, widest_mm: int) -> Line:
    asked = _scale_mm(plan.span_m)
    across_m = stock.section.width_m / cos(radians(order.mitre_deg))
    clear_m = machine.guide_low_m - machine.fixed_guide_m - across_m
    closest = clear_m > GUIDE_CLEAR_M + _HAIR_M
    why = CLOSEST(clear=clear_m) if closest else REASONS["band.guide_span_mm"]
    if widest_mm > asked:
        why = LEFT_SPAN(why=why, low=asked * MM, high=widest_mm * MM)
    return Line("band.guide_span_mm", asked, why, within=(asked, widest_mm))


def _teeth_line(stock: Stock, order: JobOrder, plan: Plan) -> Line:
    charted_m = tooth_pitch_m(stock.section, mitre_factor(radians(order.mitre_deg)))
    line = _line("band.teeth_per_inch", round(INCH / plan.pitch_m))
    return (
        line if plan.pitch_m == charted_m else replace(line, why=OFF_CHART(charts=INCH / charted_m))
    )


def _holds(machine: Machine, plan: Plan, span_mm: float, tension_mpa: float) -> bool:
    """Return whether a plan still cuts square, and the drive still carries it, with guides or screw off its setting.

    A plan of the last resorts has nothing in reserve for that.
    """
    if plan.tension_mpa > TENSION_MPA:
        return False
    wanders = _give_m_n(machine, span_mm * MM, tension_mpa) / _give_m_n(
        machine, plan.span_m, plan.tension_mpa
    )
    return (
        plan.square * wanders < _MARGIN
        and plan.force_n <= MAGNIFIED_FROM * _runs_out_n(machine, span_mm * MM, tension_mpa)
        and plan.force_n <= _driven_n(machine, tension_mpa) / SAFETY
    )


def _widest_mm(machine: Machine, stock: Stock, order: JobOrder, plan: Plan) -> int:
    """Return the widest that the guides are left, mm: never so wide that the arm counts as far from the bar."""
    asked = _scale_mm(plan.span_m)
    across_m = stock.section.width_m / cos(radians(order.mitre_deg))
    far_m = min(across_m + machine.fixed_guide_m + GUIDE_FAR_M, machine.guide_high_m)
    for more in _SPAN_MM:
        if (asked + more) * MM <= far_m + _HAIR_M and _holds(
            machine, plan, asked + more, plan.tension_mpa
        ):
            return asked + more
    return asked


def _tension_line(machine: Machine, plan: Plan, widest_mm: int) -> Line:
    """Return the line of the tension, which is left alone as far as the face stays square, the guides at their widest."""
    why = TENSE if plan.tension_mpa > TENSION_MPA else REASONS["band.tension_mpa"]
    asked, least = plan.tension_mpa, machine.tension_low_pa / MPA
    below = range(ceil(max(asked * (1.0 - _GAUGE), least)), ceil(asked))
    low = next((each for each in below if _holds(machine, plan, widest_mm, each)), asked)
    high = max(min(floor(asked * (1.0 + _GAUGE)), machine.tension_high_pa / MPA), asked)
    return Line(
        "band.tension_mpa", asked, LEFT_TENSION(why=why, low=low * MPA, high=high * MPA),
        LEFT_SOURCE(source=MEMORY), (low, high),
    )  # fmt: skip


def _brush_line(machine: Machine, plan: Plan) -> Line:
    """Return the line of the brush, left alone where it sweeps the gullets and they do not grind it away."""
    gullet_mm = gullet_depth_m(plan.pitch_m) / MM
    asked = round(gullet_mm * 2) / 2
    low = min(max(asked - _BRUSH_MM, ceil(10 * SWEPT_FROM * gullet_mm) / 10), asked)
    high = max(min(asked + _BRUSH_MM, gullet_mm + machine.brush_spare_m / MM), asked)
    why = LEFT_BRUSH(why=REASONS["band.brush_mm"], low=low * MM, high=high * MM)
    return Line("band.brush_mm", asked, why, within=(low, high))


def _band_lines(machine: Machine, stock: Stock, order: JobOrder, plan: Plan) -> tuple[Line, ...]:
    widest_mm = _widest_mm(machine, stock, order, plan)
    return (
        _teeth_line(stock, order, plan),
        _line("band.teeth_face", "forward"),
        _tension_line(machine, plan, widest_mm),
        _brush_line(machine, plan),
        _span_line(machine, stock, order, plan, widest_mm),
        _line("band.guide_lock", "tight"),
        Line(
            "band.speed_m_min", round(plan.speed_m_s * 60), _speed_reason(machine, stock.material),
            quoted(stock.material.source),
        ),
    )  # fmt: skip


def _head_lines(machine: Machine, stock: Stock, order: JobOrder, plan: Plan) -> tuple[Line, ...]:
    notch = ceil((stock.section.height_m + CLEARANCE_M) / machine.notch_step_m - 1e-9)
    rail = "back" if order.mitre_deg > 0 else "in place"
    plunger = _line("head.index_plunger", "home")
    if order.mitre_deg not in machine.index_deg:
        plunger = Line("head.index_plunger", "out", BETWEEN_INDEX)
    return (
        _line("head.stop_notch", min(notch, machine.notches)),
        _line("head.stop_plunger", "home"),
        _line("outfeed.back_rail", rail),
        _line("head.mitre_deg", order.mitre_deg, ORDER),
        plunger,
        _line("head.clamp_screw", machine.clamp_screw_right),
        _line("head.clamp_lever", "closed"),
        _line("head.lift_throttle_turns", machine.throttle_right),
        Line("head.feed_force_n", plan.force_n, FORCE_BY[plan.force_by](chip=CHIP_M * 1e6), KIENZLE),
        Line(
            "head.feed_valve_mm_min", plan.valve_mm_min,
            _valve_reason(machine, stock, order, plan), KIENZLE,
        ),
    )  # fmt: skip


def _bar_lines(machine: Machine, stock: Stock, order: JobOrder, plan: Plan) -> tuple[Line, ...]:
    clamping_bar = _clamping_bar(machine, plan)
    strokes = strokes_for(machine, order)
    along_m = order.kerf_along_m(machine)
    counter_mm = index_travel_m(order.piece_m, along_m, strokes) / MM
    stop = _line("shuttle.stop_mm", round(counter_mm, 2), GEOMETRY)
    if order.mitre_deg > 0.0:
        trim_m = order.trim_m(stock.section.width_m)
        why = MITRED_STOP(
            kerf=machine.kerf_m, angle=order.mitre_deg, along=along_m, more=along_m - machine.kerf_m,
            out=trim_m,
        )  # fmt: skip
        stop = replace(stop, why=why)
    clamp = "down" if isinstance(stock.section, Bundle) else "up"
    return (
        *(_line(point, machine.jaw_gap_m / MM) for point in JAW_GAPS.values()),
        _line("cutting_vise.pressure_bar", clamping_bar, STATICS),
        _line("shuttle_vise.pressure_bar", clamping_bar, STATICS),
        _line("cutting_vise.bundle_clamp", clamp),
        stop,
        _line("job.strokes", strokes, GEOMETRY),
        _wanted_line(stock, order),
        _line("job.run_on_min", 0),
    )  # fmt: skip
