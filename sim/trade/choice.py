"""Which band, which tooth pitch, which band speed: the choices made before a cut.

Never here: what follows from a bad choice; the cut shows that.

The rules of thumb (three teeth at least in every wall, six to twelve wanted) are common
practice, no source; handbooks of the trade print the like (from memory). The stock of tooth
pitches is a choice of ours among common ones.
"""

from itertools import pairwise
from typing import Final

from sim.trade.materials import Material
from sim.trade.sections import Bundle, Section
from sim.units import INCH

LEAST_TEETH: Final = 3.0  # common practice, no source
WANTED_TEETH: Final = (6.0, 12.0)  # common practice, no source
TEETH_PER_INCH: Final = (2, 3, 4, 6, 8, 10, 14, 18)  # coarse to fine
_HALF_WAY: Final = 0.499
_ENTRY_SHARE: Final = 0.1  # of the height: every curved bar starts and ends with no tooth


def pitch_m_from_teeth_per_inch(teeth_per_inch: float) -> float:
    """Return the distance from tooth to tooth, m."""
    return INCH / teeth_per_inch


def thinnest_interval_m(section: Section) -> float:
    """Return the shortest unbroken contact of a bar, m, its first and last tenth left out.

    The tenths are left out because every curved bar begins and ends with no tooth in it at
    all. In a bundle it is the first row that is looked at; the others are like it.
    """
    bar = section.section if isinstance(section, Bundle) else section
    low_m, high_m = bar.height_m * _ENTRY_SHARE, bar.height_m * (1.0 - _ENTRY_SHARE)
    inner_m = (depth_m for depth_m in bar.breaks_m if low_m < depth_m < high_m)
    hair_m = bar.height_m * 1e-9
    return min(
        end_m - start_m
        for above_m, below_m in pairwise((low_m, *inner_m, high_m))
        for depth_m in (above_m + hair_m, below_m - hair_m)
        for start_m, end_m in section.contact_intervals_m(depth_m)
    )


def mean_interval_m(section: Section) -> float:
    """Return the mean contact of one wall, m: area / height / number of walls half-way down.

    The walls are counted a hair above half-way: there round bars that lie side by side do not touch.
    """
    bar_height_m = section.section.height_m if isinstance(section, Bundle) else section.height_m
    walls = len(section.contact_intervals_m(bar_height_m * _HALF_WAY))
    return section.area_m2 / section.height_m / walls


def tooth_pitch_m(section: Section) -> float:
    """Return the tooth pitch to fit for a bar, m, from the stock of pitches.

    The coarsest with three teeth in the thinnest wall and six in the mean; failing that, the
    coarsest with three in the thinnest; failing that, the finest. Common practice, no source.
    """
    stock_m = [pitch_m_from_teeth_per_inch(each) for each in TEETH_PER_INCH]
    hard_limit_m = thinnest_interval_m(section) / LEAST_TEETH
    wish_m = min(hard_limit_m, mean_interval_m(section) / WANTED_TEETH[0])
    for limit_m in (wish_m, hard_limit_m):
        for pitch_m in stock_m:
            if pitch_m <= limit_m:
                return pitch_m
    return stock_m[-1]


def band_speed_m_s(material: Material, lowest_m_s: float, highest_m_s: float) -> float:
    """Return the band speed to set, m/s: the middle of the metal's range, within the saw's.

    Args:
        material: The metal, with its range of speeds.
        lowest_m_s: Slowest speed of the saw, m/s.
        highest_m_s: Fastest speed of the saw, m/s.
    """
    middle_m_s = (material.speed_low_m_s + material.speed_high_m_s) / 2.0
    return min(max(middle_m_s, lowest_m_s), highest_m_s)


def life_at_speed_s(
    life_s: float, speed_m_s: float, other_speed_m_s: float, exponent: float
) -> float:
    """Return how long teeth last at another speed, s, by Taylor's v T^n = constant.

    Args:
        life_s: Known life, s.
        speed_m_s: Speed at which it is known, m/s.
        other_speed_m_s: Speed asked about, m/s.
        exponent: Taylor's n; about 0.125 for high-speed steel (from memory).
    """
    return float(life_s * (speed_m_s / other_speed_m_s) ** (1.0 / exponent))
