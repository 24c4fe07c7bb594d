"""What a calculation warns of: a setting that the saw, the teeth, the metal or the tank do not allow.

Each is one sentence: what is wrong, and what to do. The limits are those of `trade` and of the
machine; nothing is judged here that they do not know.
"""

from typing import Final

from sim.plant.machine import Machine
from sim.trade import choice, teeth
from sim.trade.coolant import Mix
from sim.trade.cut_table import CutTable
from sim.trade.materials import Material
from sim.trade.sections import Section
from sim.units import BAR, INCH, MM, MPA

MOST_TEETH: Final = 24.0  # in one wall at once; common practice, no source
_HAIR: Final = 1e-9
_NEAR: Final = 0.0005  # of a concentration: 0.05 %, nobody reads finer


def speed_warnings(material: Material, machine: Machine, speed_m_min: float) -> list[str]:
    """Return what is to be said of a band speed for a metal."""
    found = []
    low, high = material.speed_low_m_s * 60, material.speed_high_m_s * 60
    if not low - _HAIR <= speed_m_min <= high + _HAIR:
        slow = speed_m_min < low
        found.append(
            f"{speed_m_min:g} m/min is {'below' if slow else 'above'} the metal's {low:.0f} to "
            f"{high:.0f} m/min: {'it takes longer than it need' if slow else 'the teeth burn off'}."
        )
    low, high = machine.band_low_m_s * 60, machine.band_high_m_s * 60
    if not low - _HAIR <= speed_m_min <= high + _HAIR:
        found.append(
            f"The saw does not run its band at {speed_m_min:g} m/min: give {low:.0f} to {high:.0f}."
        )
    return found


def feed_warnings(machine: Machine, force_n: float, valve_m_s: float | None = None) -> list[str]:
    """Return what is to be said of a feed force, and of a feed valve, on this saw."""
    found = []
    if not machine.force_low_n <= force_n <= machine.force_high_n:
        found.append(
            f"The saw does not feed with {force_n:.0f} N: its relief goes from "
            f"{machine.force_low_n:.0f} to {machine.force_high_n:.0f} N."
        )
    if valve_m_s is not None and valve_m_s > machine.valve_high_m_s * (1 + _HAIR):
        found.append(
            f"The saw's feed valve opens to {machine.valve_high_m_s / MM * 60:.0f} mm/min and no "
            "further."
        )
    return found


def cut_warnings(machine: Machine, cut: CutTable) -> list[str]:
    """Return what is to be said of a cut as it comes out: of its teeth, gullets and motor."""
    found = []
    if cut.least_teeth < choice.LEAST_TEETH:
        found.append(
            f"{cut.least_teeth:.1f} teeth in the thinnest wall, and three at least are wanted: "
            "take finer teeth (calc pitch)."
        )
    depths_m = teeth.depths_to_look_at_m(cut.section)
    strain = max(teeth.tooth_strain_at(cut, depth_m) for depth_m in depths_m)
    if strain > 1.0:
        found.append(
            f"The teeth would strip: a tooth gets {strain:.0%} of what it stands (an order of "
            "magnitude). Shut the feed valve further."
        )
    fill = max(teeth.gullet_fill_at(cut, depth_m) for depth_m in depths_m)
    if fill > 1.0:
        found.append(
            f"The chips do not fit the gullets: {fill:.0%} of what they hold. Shut the feed valve "
            "further."
        )
    if cut.peak_power_w > machine.motor_w:
        found.append(
            f"The cut asks for {cut.peak_power_w / machine.motor_w:.0%} of the motor: its relay "
            "trips. Feed with less force, or shut the feed valve further."
        )
    return found


def pitch_warnings(section: Section, pitch_m: float) -> list[str]:
    """Return what is to be said of the tooth pitch that was chosen for a section."""
    found = []
    thinnest_m = choice.thinnest_interval_m(section)
    per_inch = round(INCH / pitch_m)
    finest = max(choice.TEETH_PER_INCH)
    if thinnest_m / pitch_m < choice.LEAST_TEETH:
        wanted = choice.LEAST_TEETH * INCH / thinnest_m
        found.append(
            f"No pitch of the stock has three teeth in {thinnest_m / MM:.1f} mm: that takes "
            f"{wanted:.0f} an inch, and the finest has {finest}. Feed lightly, as calc time and the "
            "set-up card have it."
        )
    most = longest_wall_m(section) / pitch_m
    if most > MOST_TEETH:
        found.append(
            f"{most:.0f} teeth are in the longest wall at once, and {MOST_TEETH:.0f} are the most "
            f"that {per_inch} an inch should have there: feed so lightly that the gullets do not fill."
        )
    return found


def longest_wall_m(section: Section) -> float:
    """Return the longest unbroken contact of a bar or a bundle, m."""
    depths_m = teeth.depths_to_look_at_m(section)
    return max(teeth.walls_m(section, depth_m)[1] for depth_m in depths_m)


def grip_verdict(machine: Machine, least_pa: float, most_pa: float) -> str:
    """Return whether a bar can be held, and if not what to do."""
    if least_pa > most_pa:
        return "no: plug it, widen the jaws or feed lighter"
    if least_pa > machine.grip_high_pa:
        return f"no: the saw gives {machine.grip_high_pa / BAR:.0f} bar at most; feed lighter"
    if most_pa < machine.grip_low_pa:
        return f"no: the saw's least, {machine.grip_low_pa / BAR:.0f} bar, dents it; plug it"
    return "yes"


def band_warnings(
    machine: Machine, tension_pa: float, span_m: float | None = None, bending_pa: float = 0.0
) -> list[str]:
    """Return what is to be said of a band tension, and of a span between the guides."""
    found = []
    low, high = machine.tension_low_pa / MPA, machine.tension_high_pa / MPA
    if not low <= tension_pa / MPA <= high:
        found.append(
            f"The saw's tension switch keeps the band from starting at {tension_pa / MPA:.0f} MPa: "
            f"tension it to {low:.0f} to {high:.0f}."
        )
    if tension_pa + bending_pa > machine.band_strength_pa:
        found.append(
            f"The band breaks: {(tension_pa + bending_pa) / MPA:.0f} MPa together, and its weld "
            f"stands {machine.band_strength_pa / MPA:.0f}. Tension it less, or take larger wheels."
        )
    if span_m is not None and not machine.guide_low_m <= span_m <= machine.guide_high_m:
        found.append(
            f"The saw's guides stand {machine.guide_low_m / MM:.0f} to "
            f"{machine.guide_high_m / MM:.0f} mm apart, not {span_m / MM:.0f}."
        )
    return found


def mix_warnings(
    volume_m3: float, present: float, full_m3: float, wanted: float, pour: Mix
) -> list[str]:
    """Return what is to be said of a top-up that does not reach what is wanted."""
    reached = (volume_m3 * present + pour.concentrate_m3) / full_m3
    if abs(reached - wanted) <= _NEAR:
        return []
    weak = reached < wanted
    if weak:
        room_m3 = full_m3 - volume_m3
        drain_m3 = (full_m3 * wanted - volume_m3 * present - room_m3) / (1.0 - present)
    else:
        drain_m3 = volume_m3 - full_m3 * wanted / present
    return [
        f"That does not reach {wanted:.1%}: the full tank is then at {reached:.1%}, too "
        f"{'weak' if weak else 'strong'}. Drain {drain_m3 * 1000:.1f} l first, and calculate again."
    ]
