"""The trade's calculations as answers a person reads: a quantity, its value, its unit, and how.

Shop units in and out; SI and the formulas are in `trade`. Nothing is worked out here that `trade`
does not work out.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from sim.calc import calculator_warnings as warnings
from sim.errors import CommandError
from sim.plant.machine import Machine
from sim.trade import band, choice, coolant, crush, cutting, grip, motor
from sim.trade.cut_list import BarStock, CutPlan, cut_plan
from sim.trade.cut_table import CutTable, cut_table
from sim.trade.length import pieces_per_bar, yield_share
from sim.trade.materials import Material
from sim.trade.sections import Section
from sim.units import BAR, INCH, MM, MPA

PRACTICE: Final = "common practice, no source"
KIENZLE: Final = "Kienzle's law; at saw chips an extrapolation, order of magnitude"
SMALL_CHIP_UM: Final = 6.0  # within the 5 to 50 um of band sawing
_STEPS: Final = 200  # depths at which the section is looked at


@dataclass(frozen=True, slots=True)
class Answer:
    """One line of an answer."""

    quantity: str
    value: float | str
    unit: str
    how: str


WARNING: Final = "warning"
"""The quantity of an answer that is a sentence about the others."""


def _warned(sentences: Iterable[str]) -> list[Answer]:
    return [Answer(WARNING, sentence, "", "") for sentence in sentences]


@dataclass(frozen=True, slots=True)
class CutSetting:
    """How a cut is set, in shop units."""

    speed_m_min: float
    teeth_per_inch: float
    force_n: float
    valve_mm_min: float
    mitre_deg: float = 0.0


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


def teeth_per_inch(section: Section) -> float:
    """Return the teeth an inch to fit for a section."""
    return round(INCH / choice.tooth_pitch_m(section))


def speed(material: Material, machine: Machine) -> list[Answer]:
    """Return the band speed for a metal."""
    low, high = material.speed_low_m_s * 60, material.speed_high_m_s * 60
    wanted = speed_m_min(material, machine)
    return [
        Answer("range of the metal", f"{low:.0f} to {high:.0f}", "m/min", material.source),
        Answer("band speed", wanted, "m/min", "middle of the range, within the saw's own"),
        *_warned(warnings.speed_warnings(material, machine, wanted)),
    ]


def pitch(section: Section) -> list[Answer]:
    """Return the tooth pitch for a section."""
    pitch_m = choice.tooth_pitch_m(section)
    thinnest_m = choice.thinnest_interval_m(section)
    mean_m, longest_m = choice.mean_interval_m(section), warnings.longest_wall_m(section)
    return [
        Answer("teeth an inch", round(INCH / pitch_m), "1/in", PRACTICE),
        Answer("tooth pitch", round(pitch_m / MM, 3), "mm", "25.4 mm by teeth an inch"),
        Answer("thinnest wall in the cut", round(thinnest_m / MM, 2), "mm", "geometry"),
        Answer("teeth in it", round(thinnest_m / pitch_m, 1), "", "3 at least; " + PRACTICE),
        Answer("teeth in the mean wall", round(mean_m / pitch_m, 1), "", "6 to 12 wanted; " + PRACTICE),
        Answer("teeth in the longest wall", round(longest_m / pitch_m, 1), "", "24 at most; " + PRACTICE),
        *_warned(warnings.pitch_warnings(section, pitch_m)),
    ]  # fmt: skip


def feed_force_n(
    material: Material, section: Section, machine: Machine, *, pitch_m: float, chip_um: float
) -> float:
    """Return the feed force that gives a chip of so many um where the contact is longest, N."""
    teeth = max(_longest_m(section) / pitch_m, 1.0)
    return machine.thrust_ratio * cutting.cutting_force_n(
        material.kc11_pa, material.mc, machine.kerf_m, chip_um * 1e-6, teeth
    )


def feed(
    material: Material, section: Section, machine: Machine, teeth_per_inch: float, chip_um: float
) -> list[Answer]:
    """Return feed force and chip load."""
    force_n = feed_force_n(
        material, section, machine, pitch_m=INCH / teeth_per_inch, chip_um=chip_um
    )
    kc_pa = cutting.specific_cutting_force_pa(material.kc11_pa, material.mc, chip_um * 1e-6)
    return [
        Answer("longest contact", round(_longest_m(section) / MM, 1), "mm", "geometry"),
        Answer("specific cutting force", round(kc_pa / MPA), "N/mm2", KIENZLE),
        Answer(
            "feed force", round(force_n), "N", f"for a chip of {chip_um:g} um a tooth; {KIENZLE}"
        ),
        *_warned(warnings.feed_warnings(machine, force_n)),
    ]


def table(material: Material, section: Section, machine: Machine, setting: CutSetting) -> CutTable:
    """Return the cut table of a setting."""
    if setting.valve_mm_min <= 0:
        raise CommandError("the feed valve is shut", "--valve", "give more than 0 mm/min")
    return cut_table(
        section,
        setting.force_n,
        setting.valve_mm_min * MM / 60,
        _conditions(material, machine, setting),
        mitre_rad=setting.mitre_deg * 3.141592653589793 / 180,
    )


def time(
    material: Material, section: Section, machine: Machine, setting: CutSetting
) -> list[Answer]:
    """Return cut time, rate and loads."""
    cut = table(material, section, machine, setting)
    rate_cm2_min = section.area_m2 * cut.widening * 1e4 / (cut.duration_s / 60)
    load = cut.peak_power_w / machine.motor_w
    return [
        Answer("cut time", round(cut.duration_s, 2), "s", "integral of depth by head speed"),
        Answer("area", round(section.area_m2 * cut.widening * 1e4, 2), "cm2", "geometry"),
        Answer("mean rate", round(rate_cm2_min, 1), "cm2/min", "area by time"),
        Answer("thickest chip", round(cut.peak_chip_m * 1e6, 1), "um", "feed x pitch / band speed"),
        Answer("fewest teeth in a wall", round(cut.least_teeth, 1), "", PRACTICE + "; 3 at least"),
        Answer("peak cutting power", round(cut.peak_power_w), "W", KIENZLE),
        Answer("share of the motor", f"{load:.0%}", "", "peak by rated power"),
        *_warned(warnings.speed_warnings(material, machine, setting.speed_m_min)),
        *_warned(warnings.feed_warnings(machine, setting.force_n, setting.valve_mm_min * MM / 60)),
        *_warned(warnings.cut_warnings(machine, cut)),
    ]


def hold(material: Material, section: Section, machine: Machine, force_n: float) -> list[Answer]:
    """Return the window of grip pressure."""
    jaws = grip.Jaws(machine.piston_m2, machine.cutting_jaw_m)
    least_pa, most_pa = grip.grip_window_pa(section, material, force_n, jaws)
    high_pa = min(most_pa, machine.grip_high_pa)
    grip_n = grip.grip_force_n(high_pa, machine.piston_m2, jaws.efficiency)
    closing_m = crush.closing_m(section, material, grip_n, jaws.length_m)
    return [
        Answer("least that holds, twice over", round(least_pa / BAR, 1), "bar", "statics, friction 0.15"),
        _most(section, material, machine, most_pa),
        Answer("the saw gives", f"{machine.grip_low_pa / BAR:.0f} to {machine.grip_high_pa / BAR:.0f}", "bar", "its own limits"),
        Answer("can be held", warnings.grip_verdict(machine, least_pa, most_pa), "", ""),
        Answer(
            "closing at the most", round(closing_m / MM, 3), "mm",
            f"at {high_pa / BAR:.0f} bar; thin ring or frame between two loads, a solid bar by E",
        ),
    ]  # fmt: skip


def _most(section: Section, material: Material, machine: Machine, most_pa: float) -> Answer:
    """Return the pressure that dents; of a solid bar the vise reaches none."""
    if most_pa <= machine.grip_high_pa or crush.is_hollow(section):
        return Answer(
            "most that does not dent", round(most_pa / BAR, 1), "bar", "first yield of the wall"
        )
    return Answer(
        "most that does not dent", f"{machine.grip_high_pa / BAR:.0f}", "bar",
        "a solid bar, not dented at any pressure that the vise has; jaw marks are not modelled",
    )  # fmt: skip


def wander(machine: Machine, span_mm: float, side_n: float, tension_mpa: float) -> list[Answer]:
    """Return how far the band wanders."""
    strip = band.Band(machine.band_width_m, machine.band_thickness_m)
    strand_n = band.strand_force_n(tension_mpa * MPA, strip)
    out_m = band.wander_m(side_n, span_mm * MM, strand_n, strip)
    return [
        Answer("wander at mid-span", round(out_m / MM, 3), "mm", "tensioned strip, pinned at the guides"),
        Answer("at twice the span", round(band.wander_m(side_n, 2 * span_mm * MM, strand_n, strip) / MM, 3), "mm", "nearly twice: it gives like a string"),
        Answer("at half the tension", round(band.wander_m(side_n, span_mm * MM, strand_n / 2, strip) / MM, 3), "mm", "nearly twice"),
        *_warned(warnings.band_warnings(machine, tension_mpa * MPA, span_mm * MM)),
    ]  # fmt: skip


def tension(machine: Machine, tension_mpa: float, wheel_mm: float) -> list[Answer]:
    """Return what a band tension means."""
    strip = band.Band(machine.band_width_m, machine.band_thickness_m)
    strand_n = band.strand_force_n(tension_mpa * MPA, strip)
    bending_pa = band.wheel_bending_stress_pa(strip, wheel_mm * MM)
    return [
        Answer("pull in each strand", round(strand_n), "N", "stress x section"),
        Answer("load on a wheel", round(2 * strand_n), "N", "two strands"),
        Answer("bending stress on the wheel", round(bending_pa / MPA), "MPa", "E t / D"),
        Answer("tension and bending together", round(bending_pa / MPA + tension_mpa), "MPa", "sum"),
        Answer("pull before it slips", round(band.slip_limit_n(strand_n, 0.15)), "N", "Euler-Eytelwein, friction 0.15"),
        *_warned(warnings.band_warnings(machine, tension_mpa * MPA, bending_pa=bending_pa)),
    ]  # fmt: skip


def bar_count(stock: BarStock, piece: int) -> list[Answer]:
    """Return what one bar gives of one length; lengths in hundredths of a millimetre."""
    pieces = pieces_per_bar(stock.bar, piece, stock.kerf, stock.trim, stock.remnant)
    used = yield_share(pieces, piece * 1e-5, stock.bar * 1e-5)
    return [
        Answer("pieces a bar", pieces, "", "integers of 0.01 mm"),
        Answer("yield", f"{used:.2%}", "", "pieces x length by bar"),
    ]


def bars(order: Mapping[int, int], stock: BarStock) -> tuple[list[Answer], CutPlan]:
    """Return the best way to cut an order from bars, and how far first fit is from it."""
    plan = cut_plan(order, stock)
    used = sum(length * n for length, n in order.items()) / (stock.bar * len(plan.bars))
    worse = plan.first_fit - len(plan.bars)
    return [
        Answer("bars", len(plan.bars), "", str(plan.bound) if worse else "as few as first fit"),
        Answer(
            "proved the fewest",
            "yes" if plan.proved else f"no; {plan.least} is the bound",
            "",
            str(plan.said),
        ),
        Answer("first fit needs", plan.first_fit, "", f"{worse} more" if worse else "as few"),
        Answer("yield", f"{used:.2%}", "", "pieces by bars"),
    ], plan


def overload(current_ratio: float, preload_ratio: float) -> list[Answer]:
    """Return when the overload relay trips."""
    trip_s = motor.trip_time_s(current_ratio, preload_ratio)
    when = "never" if trip_s == float("inf") else round(trip_s, 1)
    return [
        Answer("trips after", when, "" if when == "never" else "s", "thermal model, trip class 10")
    ]


def mix(
    reading: float, factor: float, litres: float, full_litres: float, wanted: float
) -> list[Answer]:
    """Return what to pour in; percentages and litres.

    Raises:
        CommandError: The reading by its factor is more than neat concentrate.
    """
    present = coolant.concentration(reading / 100, factor)
    if present >= 1.0:
        raise CommandError(
            f"a reading of {reading:g} % by a factor of {factor:g} is more than neat concentrate",
            "--factor", "give the factor from the fluid's own sheet",
        )  # fmt: skip
    pour = coolant.top_up(litres / 1000, present, full_litres / 1000, wanted / 100)
    after = (litres / 1000 * present + pour.concentrate_m3) / (full_litres / 1000)
    said = warnings.mix_warnings(litres / 1000, present, full_litres / 1000, wanted / 100, pour)
    return [
        Answer("concentration", round(present * 100, 2), "%", "reading x the fluid's factor"),
        Answer("concentrate to add", round(pour.concentrate_m3 * 1000, 2), "l", "volumes add"),
        Answer("water to add", round(pour.water_m3 * 1000, 2), "l", "volumes add"),
        Answer("concentration after", round(after * 100, 2), "%", "of the full tank"),
        *_warned(said),
    ]
