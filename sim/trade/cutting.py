"""Chip, force, power and feed of a toothed band in metal.

Never here: a whole cut from top to bottom (`sim.trade.cut_table`) or which band to take
(`sim.trade.choice`).

Theory. A tooth that follows another at pitch p, on a band at v_c, in a head that sinks at
v_f, takes a chip h = v_f p / v_c. Kienzle: the specific cutting force is kc = kc1.1 h^-mc
with h in millimetres, so one tooth of kerf b is pushed along the band with
kc1.1 b h^(1-mc), and down into the metal with `thrust_ratio` times that. The feed force is
shared by the teeth in the work, which settles h and so the speed of the head.

Caution. Kienzle's constants are fitted to turning chips of some 0.05 mm and more (from
memory). A saw tooth takes 5 to 50 um with an edge rounded to 5 to 15 um (Sarwar, Haider and
Persson, "Scientific evaluation of cutting-off process in bandsawing"), so every force here
is an extrapolation: right in its trends, an order of magnitude in its size.
"""

from dataclasses import dataclass
from typing import Final

from sim.trade.bounds import require_above_zero
from sim.units import MM

CHIP_OF_REFERENCE_M: Final = 1.0 * MM  # kc1.1 is the force at this chip thickness


@dataclass(frozen=True)
class CutConditions:
    """What metal, band and band speed bring to a cut, whatever the bar and the feed."""

    kc11_pa: float
    mc: float
    pitch_m: float
    kerf_m: float
    band_speed_m_s: float
    thrust_ratio: float

    def __post_init__(self) -> None:
        require_above_zero(
            "CutConditions",
            kc11_pa=self.kc11_pa,
            mc=self.mc,
            slope_left=1.0 - self.mc,
            pitch_m=self.pitch_m,
            kerf_m=self.kerf_m,
            band_speed_m_s=self.band_speed_m_s,
            thrust_ratio=self.thrust_ratio,
        )


def chip_thickness_m(feed_m_s: float, pitch_m: float, band_speed_m_s: float) -> float:
    """Return the chip that each tooth takes, m: head speed times the time between teeth."""
    return feed_m_s * pitch_m / band_speed_m_s


def specific_cutting_force_pa(kc11_pa: float, mc: float, chip_m: float) -> float:
    """Return Kienzle's force per area of chip, Pa; `chip_m` above zero.

    An extrapolation at saw chips, see the head of this file.
    """
    return float(kc11_pa * (chip_m / CHIP_OF_REFERENCE_M) ** -mc)


def cutting_force_n(kc11_pa: float, mc: float, kerf_m: float, chip_m: float, teeth: float) -> float:
    """Return the pull along the band on a number of teeth, N; nothing at no chip.

    An extrapolation at saw chips, see the head of this file.
    """
    chip_mm = chip_m / CHIP_OF_REFERENCE_M
    return float(kc11_pa * kerf_m * CHIP_OF_REFERENCE_M * chip_mm ** (1.0 - mc) * teeth)


def cutting_power_w(feed_m_s: float, contact_m: float, cut: CutConditions) -> float:
    """Return the power that goes into chips, W: pull on the mean number of teeth by speed.

    An extrapolation at saw chips, see the head of this file.
    """
    chip_m = chip_thickness_m(feed_m_s, cut.pitch_m, cut.band_speed_m_s)
    teeth = teeth_in_contact(contact_m, cut.pitch_m)
    return cutting_force_n(cut.kc11_pa, cut.mc, cut.kerf_m, chip_m, teeth) * cut.band_speed_m_s


def teeth_in_contact(interval_m: float, pitch_m: float) -> float:
    """Return the mean number of teeth in a length of metal, a fraction below one too."""
    return interval_m / pitch_m


def feed_for_force_m_s(feed_force_n: float, contact_m: float, cut: CutConditions) -> float:
    """Return the head speed at which the teeth just carry the feed force, m/s.

    Below one tooth in the work the whole force rests on one tooth. An extrapolation at saw
    chips, see the head of this file.

    Args:
        feed_force_n: Force that pushes the band down into the metal, N; not below zero.
        contact_m: Metal across the band, all intervals together, m.
        cut: Metal, band and band speed.
    """
    teeth = max(1.0, contact_m / cut.pitch_m)
    full_chip_thrust_n = cut.thrust_ratio * cut.kc11_pa * cut.kerf_m * CHIP_OF_REFERENCE_M
    chip_mm = (feed_force_n / (teeth * full_chip_thrust_n)) ** (1.0 / (1.0 - cut.mc))
    return float(chip_mm * CHIP_OF_REFERENCE_M * cut.band_speed_m_s / cut.pitch_m)
