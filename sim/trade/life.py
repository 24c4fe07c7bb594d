"""How long a band lasts at a speed, by its chip and with its coolant, how warm it runs, and when it tires.

Never here: tanks, pumps or gauges.

Theory. Taylor's v T^n = constant (`sim.trade.choice.life_at_speed_s`), from a life known at the
middle of the metal's range of speeds. A slower band is not allowed to last more than four times as
long: slow teeth wear too.
That life is one of teeth that take a fair chip through a mean of `CONTACT_OF_REFERENCE_M`. A tooth wears by
the way it slides in metal, which goes with band speed x contact; how much of its life a length of that way
takes is `wear_by_chip`: more when the chip is heavy, and much more when it rubs, most of all on a surface
that rubbing has hardened. The way to saw an area goes with 1 / chip, so the area that a band lasts for has
its best at a chip between the two.
A band that is fed beyond what it is made for lasts for less again. Makers' charts give band life by cutting
rate, and the area of a life falls more than in proportion to what the rate is over (trend from memory). It is
the mean chip of a cut that counts as overfed: at the edge of a curved bar the chip is thick for a moment only.
Coolant that is lean, rich, diverted or absent takes its share of the
life and of the cooling. All constants are chosen for this saw, with the order of magnitude of common
practice; only the trends are claimed.

Fatigue. Round a wheel the band is bent once, with a stress E t / D over its tension, and the root of a
gullet feels more of it than a plain strip. Goodman's line turns amplitude and mean into an amplitude about
no mean, Basquin's law that into cycles (both textbook; the constants of a band's backing from memory).
"""

from typing import Final

from sim.trade.choice import life_at_speed_s
from sim.trade.edge import FAIR_CHIP_M
from sim.trade.materials import Material

TAYLOR_EXPONENT: Final = 0.125  # high-speed steel, from memory
MOST_GAIN: Final = 4.0
# of the life with good coolant; so a dry band is run a third slower, as a handbook has it
LIFE_DRY: Final = 0.05
LEAN: Final = 0.05  # by volume; five to ten per cent is usual for soluble oil (one workshop page)
RICH: Final = 0.10
_RICHEST: Final = 0.30  # foam; nothing left of the cooling
_HEAT_SHARE: Final = 0.1  # of the cutting power that stays in the band
CONTACT_OF_REFERENCE_M: Final = 47.1e-3  # the mean of a 60 mm round, which the known life is for
HEAVY_CHIP_M: Final = 15e-6  # at which a chip's load doubles the wear of a way; chosen for this saw
HEAVY_POWER: Final = 3.0
OVERFED_M: Final = (
    9e-6  # mean chip of a cut, half as much again as the fair one; chosen for this saw
)
OVERFED_POWER: Final = 2.0  # of the mean chip by that, by which such a band wears faster; chosen
# times the wear of a way that a tooth rubs on, in metal that does not harden; chosen
RUBBING_WEAR: Final = 6.0
BACKING_STRENGTH_PA: Final = 1500e6  # of the spring steel behind the teeth; from memory
BASQUIN_PA: Final = 1800e6  # fatigue strength at half a cycle; from memory
BASQUIN_EXPONENT: Final = 0.09  # from memory, steels have 0.05 to 0.12
# stress at the root of a gullet by that of a plain strip; chosen for this saw
GULLET_NOTCH: Final = 1.4
_DRY_W_K: Final = 0.8  # what a dry band sheds for each kelvin
_WET_W_K: Final = 10.0  # with good coolant


def coolant_quality(concentration: float) -> float:
    """Return what a coolant of a true concentration is worth, 0 (nothing) to 1 (right)."""
    if concentration < LEAN:
        return max(0.0, concentration / LEAN)
    if concentration <= RICH:
        return 1.0
    return max(0.0, 1.0 - (concentration - RICH) / (_RICHEST - RICH))


def band_life_s(
    life_s: float, material: Material, speed_m_s: float, quality: float, extra_wear: float = 0.0
) -> float:
    """Return how long the teeth last in the cut, s.

    Args:
        life_s: Life at the middle of the metal's speeds with good coolant, s.
        material: The metal, with its range of speeds.
        speed_m_s: Band speed, m/s.
        quality: Worth of the coolant at the cut, 0 to 1.
        extra_wear: What else grinds at the teeth, as a share on top of 1.
    """
    middle_m_s = (material.speed_low_m_s + material.speed_high_m_s) / 2.0
    taylor_s = life_at_speed_s(life_s, middle_m_s, speed_m_s, TAYLOR_EXPONENT)
    share = LIFE_DRY + (1.0 - LIFE_DRY) * quality
    longest_s = MOST_GAIN * life_s
    return min(taylor_s * share, longest_s) / (1.0 + extra_wear)


def wear_by_chip(chip_m: float, rubbed: float, hardened: float) -> float:
    """Return the wear of a way in metal by that of a way with a fair chip.

    Args:
        chip_m: Chip, m.
        rubbed: Share of the way on which the tooth rubs, 0 to 1.
        hardened: Hardness of a rubbed surface by that of the metal, 1 or more.
    """
    load = 1.0 + (chip_m / HEAVY_CHIP_M) ** HEAVY_POWER
    fair = 1.0 + (FAIR_CHIP_M / HEAVY_CHIP_M) ** HEAVY_POWER
    return float((load + RUBBING_WEAR * hardened**2 * rubbed) / fair)


def overfed(chip_m: float) -> float:
    """Return by how much the mean chip of a cut is over what a band stands for long, as a share; 0 for none."""
    return max(0.0, chip_m / OVERFED_M - 1.0)


def wear_overfed(chip_m: float) -> float:
    """Return how much faster a band wears for being overfed, 1 or more, by the mean chip of a cut, m."""
    return float((1.0 + overfed(chip_m)) ** OVERFED_POWER)


def bends_to_break(tension_pa: float, bending_pa: float) -> float:
    """Return how many times a band goes round a wheel until it cracks from its gullets.

    Args:
        tension_pa: Stress of a strand, Pa.
        bending_pa: Stress of bending round the wheel, Pa, `sim.trade.band.wheel_bending_stress_pa`.
    """
    half_pa = bending_pa / 2.0
    mean = (tension_pa + half_pa) / BACKING_STRENGTH_PA
    if mean >= 1.0:
        return 0.0
    swing_pa = GULLET_NOTCH * half_pa / (1.0 - mean)
    return float(0.5 * (BASQUIN_PA / swing_pa) ** (1.0 / BASQUIN_EXPONENT))


def warmer_by_k(cutting_power_w: float, quality: float) -> float:
    """Return how much warmer than the saw the band runs once it is steady, K."""
    return _HEAT_SHARE * cutting_power_w / (_DRY_W_K + (_WET_W_K - _DRY_W_K) * quality)
