"""The trade's calculations as lines a person reads: a quantity, its value, its unit, and how.

Shop units in and out; SI and the formulas are in `trade`. Nothing is worked out here that `trade`
does not work out.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import cos, radians
from typing import Final

from sim.calc import calculator_warnings as warnings
from sim.calc import quantities as q
from sim.calc.figure import Figure, noted, warned
from sim.errors import CommandError
from sim.plant.machine import Machine
from sim.session.card.binding import Fed
from sim.session.card.card_reasons import FORCE_BY, Bound
from sim.session.card.setup_card import (
    CHIP_M,
    CardFeed,
    clamping_bar_of,
    feed_of,
    tighter_feed_of,
)
from sim.session.card.soundness import unsound_bar
from sim.trade import band, choice, clamping, coolant, crush, cutting, motor, teeth
from sim.trade import bow as bowed
from sim.trade.creep import skew_at
from sim.trade.cut_list import BarStock, OrderPlan, cut_plan
from sim.trade.cut_table import CutTable
from sim.trade.edge import EDGE_SHARP_M
from sim.trade.length import pieces_per_bar, strokes_needed, yield_share
from sim.trade.life import band_life_s
from sim.trade.materials import Material
from sim.trade.mitre import kerf_along_m, lean_m
from sim.trade.sections import Bundle, Section, mitre_factor
from sim.trade.toothed_cut import ToothedCut, ToothEdge, toothed_cut
from sim.units import BAR, INCH, MM, MPA
from sim.words.fields import Quantity, mm_min, mpa, newtons, number, part
from sim.words.message import Message, plain, quoted, row

_STEPS: Final = 200  # depths at which the section is looked at


_SHUT: Final = plain("calc.valve-shut", "the feed valve is shut")
_SHUT_DO: Final = plain("calc.valve-shut.do", "give more than 0 mm/min")
_CARD_HAS: Final = row(
    "calc.card-has", "The card has {force}: {why}.", force=newtons(), why=part(small=True)
)
_VALVE_TEETH: Final = row(
    "calc.card-has.teeth",
    "The card has {valve}: no more than teeth and gullets can take in the thinnest metal.",
    valve=mm_min(),
)
_VALVE_MOST: Final = row(
    "calc.card-has.most", "The card has {valve}: the most that the feed valve lets through.",
    valve=mm_min(),
)  # fmt: skip
_BUNDLE_BOWED: Final = plain("calc.bow.bundle", "the bars of a bundle are taken as straight")
_BUNDLE_BOWED_DO: Final = plain("calc.bow.bundle.do", "give a single bar")
_TIGHTER: Final = row(
    "calc.card-has.tighter",
    "With the band at {tension} instead of {now} the face stays square up to {force}, and that cuts {rate}. A tighter "
    "band tires sooner.",
    tension=mpa(), now=mpa(bare=True), force=newtons(), rate=Quantity("cm2/min", 1e-4 / 60, 1),
)  # fmt: skip
_HAIR: Final = 1e-9
_STOCK: Final = q.STOCK(all=tuple(q.A_PITCH(teeth=each) for each in choice.TEETH_PER_INCH))
_NEAREST: Final = row(
    "calc.pitch.nearest",
    "Of the stock with three teeth in the cut, and 24 at most in one wall, {teeth} TPI is nearest to the charts' line of {line}.",
    teeth=number(), line=number(1),
)  # fmt: skip
_RUB_MORE: Final = row(
    "calc.pitch.rub-more",
    "As this saw feeds this bar, {charts} TPI would rub more than {teeth} TPI.",
    charts=number(), teeth=number(),
)  # fmt: skip
_NEAT: Final = row(
    "calc.neat",
    "a reading of {reading} % by a factor of {factor} is more than neat concentrate",
    reading=number(None), factor=number(None),
)  # fmt: skip
_NEAT_DO: Final = plain("calc.neat.do", "give the factor from the fluid's own sheet")


@dataclass(frozen=True, slots=True)
class CutSetting:
    """How a cut is set, in shop units."""

    speed_m_min: float
    teeth_per_inch: float
    force_n: float
    valve_mm_min: float
    mitre_deg: float = 0.0
    force_given: bool = True  # else it is the card's
    valve_given: bool = True


def setting_of(
    material: Material,
    section: Section,
    machine: Machine,
    *,
    speed_m_min: float | None = None,
    teeth_per_inch: float | None = None,
    force_n: float | None = None,
    valve_mm_min: float | None = None,
    mitre_deg: float = 0.0,
) -> CutSetting:
    """Return how a cut is set, in shop units: what is None is as the set-up card has it."""
    pitch_m = None if teeth_per_inch is None else INCH / teeth_per_inch
    card = feed_of(machine, material, section, mitre_deg, pitch_m)
    speed = round(card.speed_m_s * 60) if speed_m_min is None else speed_m_min
    valve = card.valve_m_s / MM * 60 if valve_mm_min is None else valve_mm_min
    return CutSetting(
        speed,
        round(INCH / card.pitch_m) if teeth_per_inch is None else teeth_per_inch,
        card.force_n if force_n is None else force_n,
        valve,
        mitre_deg,
        force_given=force_n is not None,
        valve_given=valve_mm_min is not None,
    )


def _conditions(material: Material, machine: Machine, setting: CutSetting) -> cutting.CutConditions:
    return cutting.CutConditions(
        kc11_pa=material.kc11_pa,
        mc=material.mc,
        pitch_m=INCH / setting.teeth_per_inch,
        kerf_m=machine.kerf_m,
        band_speed_m_s=setting.speed_m_min / 60,
        thrust_ratio=machine.thrust_ratio,
    )


def _longest_m(section: Section) -> float:
    height_m = section.height_m
    return max(section.contact_length_m(height_m * (i + 0.5) / _STEPS) for i in range(_STEPS))


def speed_m_min(material: Material, machine: Machine) -> float:
    """Return the band speed to set for a metal, in whole m/min."""
    return round(choice.band_speed_m_s(material, machine.band_low_m_s, machine.band_high_m_s) * 60)


def speed(material: Material, machine: Machine) -> list[Figure]:
    """Return the band speed for a metal."""
    low, high = material.speed_low_m_s * 60, material.speed_high_m_s * 60
    wanted = speed_m_min(material, machine)
    return [
        Figure(q.RANGE, (round(low), round(high)), "m/min", quoted(material.source)),
        Figure(q.BAND_SPEED, wanted, "m/min", q.MIDDLE),
        *warned(warnings.speed_warnings(material, machine, wanted)),
    ]


def mitre(section: Section, machine: Machine, length_mm: float, mitre_deg: float) -> list[Figure]:
    """Return what a mitre wants of length stop and first cut, and the points of the piece.

    The length is that of an edge of the piece: both its ends at one angle, its two edges are alike.
    """
    angle_rad, length_m = radians(mitre_deg), length_mm * MM
    along_m = kerf_along_m(machine.kerf_m, angle_rad)
    lean = lean_m(section.width_m, angle_rad)
    strokes = strokes_needed(length_m, along_m, machine.stroke_m)
    return [
        Figure(q.KERF_ALONG, round(along_m / MM, 2), "mm", q.KERF_BY_COS),
        Figure(q.STOP, round((length_m + along_m) / MM, 2), "mm", q.PIECE_AND_KERF),
        Figure(q.STOP_MORE, round((along_m - machine.kerf_m) / MM, 2), "mm", q.GEOMETRY),
        Figure(q.STROKES, strokes, "", q.OWN_LIMITS),
        Figure(q.STANDS_OUT, round(lean / MM, 1), "mm", q.WIDTH_BY_TAN),
        Figure(q.OVER_ALL, round((length_m + lean) / MM, 1), "mm", q.EDGE_AND_LEAN),
        Figure(q.ONE_END, round(max(length_m - lean, 0.0) / MM, 1), "mm", q.EDGE_LESS_LEAN),
        Figure(q.FACE_TO_FACE, round(length_m * cos(angle_rad) / MM, 2), "mm", q.EDGE_BY_COS),
        *warned(warnings.mitre_warnings(machine, mitre_deg)),
    ]  # fmt: skip


def pitch(section: Section, material: Material, machine: Machine) -> list[Figure]:
    """Return the tooth pitch for a section of a metal: the card's, beside what band charts have."""
    pitch_m = feed_of(machine, material, section).pitch_m
    longest_m = choice.longest_wall_m(section)
    _, coarse, fine = choice.chart_teeth_per_inch(section)
    on_chart = choice.stock_on_chart(section)
    there = q.TEETH_THERE(all=tuple(q.A_PITCH(teeth=each) for each in on_chart))
    return [
        Figure(q.TEETH, round(INCH / pitch_m), "1/in", q.ON_CARD_TEETH),
        Figure(q.CHARTS, (round(coarse, 1), round(fine, 1)), "1/in", q.BAND_CHARTS),
        Figure(q.STOCK_ON_CHART, there if on_chart else q.NONE_THERE, "", _STOCK),
        Figure(q.PITCH, round(pitch_m / MM, 3), "mm", q.BY_TEETH),
        Figure(q.WIDTH, round(choice.counted_width_m(section) / MM, 2), "mm", q.AREA_BY_TRAVEL),
        Figure(q.TEETH_WIDTH, round(choice.teeth_in_cut(section, pitch_m), 1), "", q.THREE_TEETH),
        Figure(q.TEETH_LONGEST, round(longest_m / pitch_m, 1), "", q.AT_MOST_24),
        *noted(_off_chart(section, pitch_m)),
        *warned(warnings.pitch_warnings(section, pitch_m)),
    ]  # fmt: skip


def _off_chart(section: Section, pitch_m: float) -> list[Message]:
    """Return why the card's teeth are not those of the stock within the charts' range; nothing where they are."""
    charted_m, per_inch = choice.tooth_pitch_m(section), round(INCH / pitch_m)
    if per_inch in choice.stock_on_chart(section):
        return []
    line, _, _ = choice.chart_teeth_per_inch(section)
    if abs(pitch_m - charted_m) < _HAIR:
        return [_NEAREST(line=line, teeth=per_inch)]
    return [_RUB_MORE(charts=INCH / charted_m, teeth=per_inch)]


def feed_force_n(
    material: Material, section: Section, machine: Machine, *, pitch_m: float, chip_um: float
) -> float:
    """Return the feed force that gives a chip of so many um where the contact is longest, N."""
    teeth = max(_longest_m(section) / pitch_m, 1.0)
    return machine.thrust_ratio * cutting.cutting_force_n(
        material.kc11_pa, material.mc, machine.kerf_m, chip_um * 1e-6, teeth
    )


def feed(
    material: Material,
    section: Section,
    machine: Machine,
    teeth_per_inch: float | None,
    chip_um: float,
) -> list[Figure]:
    """Return feed force and chip load, and the feed to set; with the card's teeth where none are given."""
    pitch_m = None if teeth_per_inch is None else INCH / teeth_per_inch
    card = feed_of(machine, material, section, pitch_m=pitch_m)
    force_n = feed_force_n(material, section, machine, pitch_m=card.pitch_m, chip_um=chip_um)
    kc_pa = cutting.specific_cutting_force_pa(material.kc11_pa, material.mc, chip_um * 1e-6)
    teeth = round(INCH / card.pitch_m, 1 if teeth_per_inch else None)
    return [
        Figure(q.LONGEST, round(_longest_m(section) / MM, 1), "mm", q.GEOMETRY),
        Figure(q.TEETH, teeth, "1/in", q.GIVEN if teeth_per_inch else q.ON_CARD),
        Figure(q.SPECIFIC_FORCE, round(kc_pa / MPA), "N/mm2", q.KIENZLE),
        Figure(
            q.FEED_FORCE, round(force_n), "N", q.AND(all=(q.FOR_A_CHIP(chip_um=chip_um), q.KIENZLE))
        ),
        Figure(q.CARD_FORCE, round(card.force_n), "N", q.ON_CARD, binds=True),
        Figure(q.CARD_VALVE, round(card.valve_m_s / MM * 60), "mm/min", q.ON_CARD),
        *noted([_why_force(card.force_n, card.force_by)]),
        *warned(_unsound(material, section, machine) if teeth_per_inch is None else []),
        *warned(warnings.feed_warnings(machine, force_n)),
    ]


def _tighter(
    material: Material, section: Section, machine: Machine, setting: CutSetting, card: CardFeed
) -> list[Message]:
    """Return what a tighter band would bear and cut, where it is the face that bounds the card's force."""
    tight = tighter_feed_of(machine, material, section, setting.mitre_deg, card.pitch_m)
    if tight is None or card.tension_mpa >= tight.tension_mpa:
        return []
    cut = table(material, section, machine, replace(setting, force_n=tight.force_n))
    rate = section.area_m2 * cut.widening / cut.duration_s
    return [
        _TIGHTER(
            tension=tight.tension_mpa * MPA,
            now=card.tension_mpa * MPA,
            force=tight.force_n,
            rate=rate,
        )
    ]


def _unsound(
    material: Material, section: Section, machine: Machine, mitre_deg: float = 0.0
) -> list[Message]:
    said = unsound_bar(machine, material, section, mitre_deg)
    return [said] if said else []


def _why_force(force_n: float, by: Bound) -> Message:
    """Return why the card has a feed force, a sentence."""
    return _CARD_HAS(force=force_n, why=FORCE_BY[by](chip=CHIP_M * 1e6))


def table(material: Material, section: Section, machine: Machine, setting: CutSetting) -> CutTable:
    """Return the cut table of a setting, with sharp teeth."""
    return toothed(material, section, machine, setting).table


def toothed(
    material: Material, section: Section, machine: Machine, setting: CutSetting
) -> ToothedCut:
    """Return the cut of a setting, with sharp teeth.

    Raises:
        CommandError: The feed valve is shut.
    """
    if setting.valve_mm_min <= 0:
        raise CommandError(_SHUT, "--valve", _SHUT_DO)
    return toothed_cut(
        section,
        setting.force_n,
        setting.valve_mm_min * MM / 60,
        _conditions(material, machine, setting),
        ToothEdge(EDGE_SHARP_M, material.hardened),
        mitre_rad=radians(setting.mitre_deg),
    )


def lasts_m2(material: Material, section: Section, machine: Machine, toothed_: ToothedCut) -> float:
    """Return the area that a run-in band saws in its life at a setting, with good coolant, m2."""
    cut = toothed_.table
    speed_m_s = cut.conditions.band_speed_m_s
    life_s = band_life_s(machine.band_life_s, material, speed_m_s, 1.0) / toothed_.toil
    return section.area_m2 * cut.widening * life_s / cut.duration_s


def time(
    material: Material, section: Section, machine: Machine, setting: CutSetting
) -> list[Figure]:
    """Return cut time, rate and loads."""
    toothed_ = toothed(material, section, machine, setting)
    cut = toothed_.table
    rate_cm2_min = section.area_m2 * cut.widening * 1e4 / (cut.duration_s / 60)
    load = cut.peak_power_w / machine.motor_w
    fed = Fed(
        machine, material, section, cut, setting.force_n, setting.valve_mm_min * MM / 60,
        setting.mitre_deg,
    )  # fmt: skip
    card, by_valve = fed.card(), fed.by_valve
    by = None if by_valve or setting.force_given else card.force_by
    depths_m = teeth.depths_to_look_at_m(section)
    fill = max(teeth.gullet_fill_at(cut, depth_m) for depth_m in depths_m)
    strain = max(teeth.tooth_strain_at(cut, depth_m) for depth_m in depths_m)
    by_teeth = by_valve and not setting.valve_given
    given = setting.force_given or setting.valve_given
    why = [] if by is None else [_why_force(setting.force_n, by)]
    if by_teeth:
        most = fed.valve_m_s >= machine.valve_high_m_s * (1.0 - _HAIR)
        why = [(_VALVE_MOST if most else _VALVE_TEETH)(valve=fed.valve_m_s)]
    if by is Bound.FACE:
        why += _tighter(material, section, machine, setting, card)
    return [
        Figure(
            q.SET_FORCE,
            round(setting.force_n),
            "N",
            q.GIVEN if setting.force_given else q.ON_CARD,
            binds=not by_valve,
        ),
        Figure(
            q.SET_VALVE,
            round(setting.valve_mm_min, 1),
            "mm/min",
            q.GIVEN if setting.valve_given else q.ON_CARD,
            binds=by_valve,
        ),
        Figure(q.CUT_TIME, round(cut.duration_s, 2), "s", q.INTEGRAL),
        Figure(q.AREA, round(section.area_m2 * cut.widening * 1e4, 2), "cm2", q.GEOMETRY),
        Figure(q.RATE, round(rate_cm2_min, 1), "cm2/min", q.AREA_BY_TIME),
        Figure(
            q.LASTS,
            round(lasts_m2(material, section, machine, toothed_) * 1e4, 1),
            "cm2",
            q.BY_WEAR,
        ),
        Figure(q.CHIP, round(cut.peak_chip_m * 1e6, 1), "um", q.CHIP_RULE),
        Figure(
            q.TEETH_WIDTH,
            round(choice.teeth_in_cut(section, cut.conditions.pitch_m, cut.widening), 1),
            "",
            q.THREE_TEETH,
        ),
        Figure(q.POWER, round(cut.peak_power_w), "W", q.KIENZLE),
        Figure(q.MOTOR_SHARE, q.SHARE(share=load), "", q.PEAK_BY_RATED, binds=by is Bound.MOTOR),
        Figure(q.GULLETS, q.SHARE(share=fill), "", q.SWEPT, binds=by_teeth and fill >= strain),
        Figure(q.TOOTH, q.SHARE(share=strain), "", q.TOOTH_LOAD, binds=by_teeth and fill < strain),
        *noted([fed.said]),
        *noted(why),
        *warned([] if given else _unsound(material, section, machine, setting.mitre_deg)),
        *warned(warnings.speed_warnings(material, machine, setting.speed_m_min)),
        *warned(warnings.feed_warnings(machine, setting.force_n, setting.valve_mm_min * MM / 60)),
        *warned(warnings.cut_warnings(machine, toothed_, material.hardened, fed)),
    ]


def bow(  # one argument a question
    material: Material,
    section: Section,
    machine: Machine,
    bow_mm_m: float,
    length_mm: float,
    pressure_bar: float | None = None,
) -> list[Figure]:
    """Return what a bar that is bowed to one side makes of its pieces.

    Args:
        material: The metal.
        section: The bar as it lies.
        machine: The saw.
        bow_mm_m: The bow's rise in any metre, mm.
        length_mm: Of a piece.
        pressure_bar: Clamping pressure; the card's where None.

    Raises:
        CommandError: It is a bundle; its bars are taken as straight.
    """
    if isinstance(section, Bundle):
        raise CommandError(_BUNDLE_BOWED, "calc bow", _BUNDLE_BOWED_DO)
    jaws, curvature = machine.cutting_jaws, bowed.curvature_1_m(bow_mm_m * MM)
    set_bar = clamping_bar_of(machine, material, section) if pressure_bar is None else pressure_bar
    press_n = clamping.clamping_force_n(set_bar * BAR, jaws.cylinder_area_m2, jaws.efficiency)
    stiffness = material.young_pa * bowed.sideways_m4(section)
    at_jaws = bowed.lean_at_jaws_rad(curvature, jaws.length_m, stiffness, press_n)
    lean = bowed.face_lean_rad(at_jaws, curvature, length_mm * MM)
    edges_m = bowed.edges_differ_m(curvature, length_mm * MM, section.width_m)
    return [
        Figure(q.CLAMPED_WITH, round(set_bar, 1), "bar", q.ON_CARD if pressure_bar is None else q.GIVEN),
        Figure(q.FACE_OUT, round(lean * 100, 3), "mm", q.ARC_IN_JAWS),
        Figure(q.FACE_OUT_SQUARE, round(lean * section.width_m / MM, 3), "mm", q.LEAN_BY_WIDTH),
        Figure(q.EDGES_DIFFER, round(edges_m / MM, 3), "mm", q.ARC_BY_WIDTH),
        Figure(q.LONGER_EDGE, round(length_mm + edges_m / MM / 2, 2), "mm", q.HALF_OF_IT),
        *warned(warnings.bow_warnings(machine, lean, section.width_m)),
    ]  # fmt: skip


def hold(
    material: Material,
    section: Section,
    machine: Machine,
    force_n: float | None = None,
    mitre_deg: float = 0.0,
) -> list[Figure]:
    """Return the window of clamping pressure; against the card's feed force where none is given, N."""
    how = q.ON_CARD if force_n is None else q.GIVEN
    if force_n is None:
        force_n = feed_of(machine, material, section, mitre_deg).force_n
    jaws, turns_at = machine.cutting_jaws, skew_at(section, mitre_factor(radians(mitre_deg)))
    least_pa, most_pa = clamping.clamping_window_pa(section, material, force_n, jaws, turns_at)
    _, fed_pa = clamping.clamping_window_pa(section, material, force_n, machine.shuttle_jaws)
    most_pa = min(most_pa, fed_pa)
    high_pa = min(most_pa, machine.clamping_high_pa)
    clamping_n = clamping.clamping_force_n(high_pa, machine.piston_m2, jaws.efficiency)
    shortest_m = min(jaws.length_m, machine.shuttle_jaws.length_m)
    closing_m = crush.closing_m(section, material, clamping_n, shortest_m)
    return [
        Figure(q.HELD_AGAINST, round(force_n), "N", how),
        Figure(q.LEAST_CLAMPING, round(least_pa / BAR, 1), "bar", q.STATICS(friction=jaws.friction)),
        _most(section, material, machine, most_pa),
        Figure(q.SAW_GIVES, (round(machine.clamping_low_pa / BAR), round(machine.clamping_high_pa / BAR)), "bar", q.OWN_LIMITS),
        Figure(q.CAN_BE_HELD, warnings.clamping_verdict(machine, least_pa, most_pa)),
        Figure(q.CLOSING, round(closing_m / MM, 3), "mm", q.TWO_LOADS(pressure=high_pa)),
    ]  # fmt: skip


def _most(section: Section, material: Material, machine: Machine, most_pa: float) -> Figure:
    """Return the pressure that dents; of a solid bar the vise reaches none."""
    if most_pa <= machine.clamping_high_pa or crush.is_hollow(section):
        return Figure(q.MOST_CLAMPING, round(most_pa / BAR, 1), "bar", q.FIRST_YIELD)
    return Figure(q.MOST_CLAMPING, round(machine.clamping_high_pa / BAR), "bar", q.SOLID)


def wander(
    machine: Machine, span_mm: float | None, side_n: float, tension_mpa: float | None
) -> list[Figure]:
    """Return how far the band wanders; span and tension as the saw was last left, where not given."""
    span_mm = machine.guide_found_m / MM if span_mm is None else span_mm
    tension_mpa = machine.tension_found_pa / MPA if tension_mpa is None else tension_mpa
    strip = machine.strip
    strand_n = band.strand_force_n(tension_mpa * MPA, strip)
    out_m = band.wander_m(side_n, span_mm * MM, strand_n, strip)
    return [
        Figure(q.WANDER, round(out_m / MM, 3), "mm", q.STRIP),
        Figure(q.TWICE_SPAN, round(band.wander_m(side_n, 2 * span_mm * MM, strand_n, strip) / MM, 3), "mm", q.LIKE_A_STRING),
        Figure(q.HALF_TENSION, round(band.wander_m(side_n, span_mm * MM, strand_n / 2, strip) / MM, 3), "mm", q.NEARLY_TWICE),
        *warned(warnings.band_warnings(machine, tension_mpa * MPA, span_mm * MM)),
    ]  # fmt: skip


def tension(
    machine: Machine, tension_mpa: float | None = None, wheel_mm: float | None = None
) -> list[Figure]:
    """Return what a band tension means; tension and wheel of the saw, where not given."""
    tension_mpa = machine.tension_found_pa / MPA if tension_mpa is None else tension_mpa
    wheel_mm = machine.wheel_m / MM if wheel_mm is None else wheel_mm
    strip = machine.strip
    strand_n = band.strand_force_n(tension_mpa * MPA, strip)
    bending_pa = band.wheel_bending_stress_pa(strip, wheel_mm * MM)
    return [
        Figure(q.STRAND, round(strand_n), "N", q.STRESS_X_SECTION),
        Figure(q.WHEEL, round(2 * strand_n), "N", q.TWO_STRANDS),
        Figure(q.BENDING, round(bending_pa / MPA), "MPa", q.STRIP_BENDING),
        Figure(q.TOGETHER, round(bending_pa / MPA + tension_mpa), "MPa", q.SUM),
        Figure(q.SLIP, round(machine.wheels_pull_n(tension_mpa * MPA)), "N", q.CAPSTAN(friction=machine.wheel_friction)),
        Figure(q.BELT, round(machine.belt_n), "N", q.OWN_LIMITS),
        *warned(warnings.band_warnings(machine, tension_mpa * MPA, bending_pa=bending_pa)),
    ]  # fmt: skip


def bar_count(stock: BarStock, piece: int) -> list[Figure]:
    """Return what one bar gives of one length; lengths in hundredths of a millimetre."""
    pieces = pieces_per_bar(stock.bar, piece, stock.kerf, stock.squaring, stock.remnant)
    used = yield_share(pieces, piece * 1e-5, stock.bar * 1e-5)
    return [
        Figure(q.PIECES_A_BAR, pieces, "", q.INTEGERS),
        Figure(q.YIELD, q.FINE_SHARE(share=used), "", q.PIECES_BY_BAR),
    ]


def bars(order: Mapping[int, int], stock: BarStock) -> tuple[list[Figure], OrderPlan]:
    """Return the best way to cut an order from bars, and how far first fit is from it."""
    plan = cut_plan(order, stock)
    used = sum(length * n for length, n in order.items()) / (stock.bar * len(plan.bars))
    worse = plan.first_fit - len(plan.bars)
    return [
        Figure(q.BARS, len(plan.bars), "", plan.bound if worse else q.AS_FEW_AS_FIRST_FIT),
        Figure(q.PROVED, q.YES if plan.proved else q.NO_BOUND(least=plan.least), "", plan.said),
        Figure(q.FIRST_FIT, plan.first_fit, "", q.MORE(count=worse) if worse else q.AS_FEW),
        Figure(q.YIELD, q.FINE_SHARE(share=used), "", q.PIECES_BY_BARS),
    ], plan


def overload(current_ratio: float, preload_ratio: float) -> list[Figure]:
    """Return when the overload relay trips."""
    trip_s = motor.trip_time_s(current_ratio, preload_ratio)
    if trip_s == float("inf"):
        return [Figure(q.TRIPS, q.NEVER, "", q.THERMAL)]
    return [Figure(q.TRIPS, round(trip_s, 1), "s", q.THERMAL)]


def mix(
    reading: float, factor: float, litres: float, full_litres: float, wanted: float
) -> list[Figure]:
    """Return what to pour in; percentages and litres.

    Raises:
        CommandError: The reading by its factor is more than neat concentrate.
    """
    present = coolant.concentration(reading / 100, factor)
    if present >= 1.0:
        raise CommandError(_NEAT(reading=reading, factor=factor), "--factor", _NEAT_DO)
    pour = coolant.top_up(litres / 1000, present, full_litres / 1000, wanted / 100)
    after = (litres / 1000 * present + pour.concentrate_m3) / (full_litres / 1000)
    said = warnings.mix_warnings(litres / 1000, present, full_litres / 1000, wanted / 100, pour)
    return [
        Figure(q.CONCENTRATION, round(present * 100, 2), "%", q.READING_X_FACTOR),
        Figure(q.CONCENTRATE, round(pour.concentrate_m3 * 1000, 2), "l", q.VOLUMES_ADD),
        Figure(q.WATER, round(pour.water_m3 * 1000, 2), "l", q.VOLUMES_ADD),
        Figure(q.AFTER, round(after * 100, 2), "%", q.OF_FULL_TANK),
        *warned(said),
    ]
