"""Which band, which tooth pitch, which band speed: the choices made before a cut.

Never here: what follows from a bad choice; the cut shows that.

Theory of the pitch. Band charts give it by the average width of cut, the area of a section by the
travel of the band through it, the walls of a tube added. Four printed points of such charts lie on one
line (two public shop manuals and a chart's ring from memory, each in tests/published/):

    teeth to the inch = 30.5 / sqrt(average width in mm)

Charts print a range of it, since bands have their pitch in steps and makers differ: about four fifths
of the line to the line. At least 3 and at most 24 teeth belong in the cut, the walls of a tube added
(public trade pages). Of bars side by side with gaps between them, as rounds and tubes have, two count at the
most: what is in the others carries no tooth over the gaps (common practice, from memory). Squares and flats touch
all the way down and count as one block. The stock of tooth pitches is a choice of ours among common ones.
"""

from itertools import pairwise
from math import fsum, log, sqrt
from typing import Final

from sim.trade.materials import Material
from sim.trade.sections import Bundle, Section, one_of
from sim.units import INCH, MM

LEAST_TEETH: Final = 3.0  # in the average width; public trade pages
_NEARLY: Final = 0.05  # of a tooth, that nobody counts: 2.95 are three
MOST_TEETH: Final = 24.0  # in the longest wall; public trade pages
CHART_TEETH_PER_INCH: Final = 30.5  # at an average width of one millimetre, see above
CHART_RANGE: Final = (0.8, 1.02)  # of the line: what charts print about it, see above
TEETH_PER_INCH: Final = (2, 3, 4, 6, 8, 10, 14, 18)  # coarse to fine
_BARS_COUNTED: Final = 2  # of those side by side, see above
_ENTRY_SHARE: Final = 0.1  # of the height: every curved bar starts and ends with no tooth


def pitch_m_from_teeth_per_inch(teeth_per_inch: float) -> float:
    """Return the distance from tooth to tooth, m."""
    return INCH / teeth_per_inch


def _narrowest(section: Section) -> list[tuple[tuple[float, float], ...]]:
    """Return the contact intervals at depths among which is the narrowest, first and last tenth left out.

    The tenths are left out because every curved bar begins and ends with no tooth in it at
    all. In a bundle it is the first row that is looked at; the others are like it.
    """
    bar = one_of(section)
    low_m, high_m = bar.height_m * _ENTRY_SHARE, bar.height_m * (1.0 - _ENTRY_SHARE)
    inner_m = (depth_m for depth_m in bar.breaks_m if low_m < depth_m < high_m)
    hair_m = bar.height_m * 1e-9
    return [
        section.contact_intervals_m(depth_m)
        for above_m, below_m in pairwise((low_m, *inner_m, high_m))
        for depth_m in (above_m + hair_m, below_m - hair_m)
    ]


def narrowest_contact_m(section: Section) -> float:
    """Return the least metal across the band, m, all walls together, first and last tenth left out."""
    return min(fsum(end_m - start_m for start_m, end_m in each) for each in _narrowest(section))


def average_width_m(section: Section) -> float:
    """Return the average width of cut, m: the area by the travel of the band, all walls together."""
    return section.area_m2 / section.height_m


def counted_width_m(section: Section) -> float:
    """Return the average width of cut that a band is chosen by, m: of bars side by side with gaps that of two at the most.

    Source: common practice, from memory.
    """
    width_m = average_width_m(section)
    if isinstance(section, Bundle) and any(len(each) > 1 for each in _narrowest(section)):
        return min(width_m, _BARS_COUNTED * average_width_m(section.section))
    return width_m


def longest_wall_m(section: Section) -> float:
    """Return the longest unbroken contact of a bar or a bundle, m."""
    hair_m = section.height_m * 1e-6
    return max(
        end_m - start_m
        for break_m in section.breaks_m
        for depth_m in (break_m - hair_m, break_m, break_m + hair_m)
        for start_m, end_m in section.contact_intervals_m(depth_m)
    )


def teeth_in_cut(section: Section, pitch_m: float, widening: float = 1.0) -> float:
    """Return how many teeth are in the average width that counts; three at least are wanted.

    Args:
        section: The bar as it lies.
        pitch_m: Tooth pitch, m.
        widening: By how much a mitre stretches the cut.
    """
    return counted_width_m(section) * widening / pitch_m


def too_few_teeth(section: Section, pitch_m: float, widening: float = 1.0) -> bool:
    """Return whether there are fewer than three teeth in the cut; arguments as `teeth_in_cut`."""
    return teeth_in_cut(section, pitch_m, widening) < LEAST_TEETH - _NEARLY


def chart_teeth_per_inch(section: Section, widening: float = 1.0) -> tuple[float, float, float]:
    """Return what a band chart has for a bar, teeth to the inch: its line, and the range about it.

    Source: see the head of this file; printed points are held in tests/published/.
    """
    line = CHART_TEETH_PER_INCH / sqrt(counted_width_m(section) * widening / MM)
    return line, CHART_RANGE[0] * line, CHART_RANGE[1] * line


def stock_on_chart(section: Section, widening: float = 1.0) -> tuple[int, ...]:
    """Return what of the stock lies in a band chart's range for a bar, teeth to the inch, coarse to fine."""
    _, coarse, fine = chart_teeth_per_inch(section, widening)
    return tuple(each for each in TEETH_PER_INCH if coarse <= each <= fine)


def tooth_pitch_m(section: Section, widening: float = 1.0) -> float:
    """Return the tooth pitch to fit for a bar, m: of the stock within the band charts' range the one nearest to their line.

    Only pitches with three teeth in the cut and at most 24 in one wall are looked at; where there is
    none, the coarsest with three in the cut, or else the finest of all. Where none of them is within the range,
    it is the nearest to the line outside it.

    Args:
        section: The bar as it lies.
        widening: By how much a mitre stretches the cut.
    """
    line, coarse, fine = chart_teeth_per_inch(section, widening)
    longest_m = longest_wall_m(section) * widening
    stock_m = stock_pitches_m()
    enough_m = [m for m in stock_m if not too_few_teeth(section, m, widening)]
    roomy_m = [m for m in enough_m if longest_m / m <= MOST_TEETH]
    fit_m = roomy_m or enough_m[:1] or stock_m[-1:]
    fit_m = [m for m in fit_m if coarse <= INCH / m <= fine] or fit_m
    return min(fit_m, key=lambda pitch_m: abs(log(INCH / pitch_m / line)))


def stock_pitches_m() -> list[float]:
    """Return the pitches of the stock, m, coarse to fine."""
    return [pitch_m_from_teeth_per_inch(each) for each in TEETH_PER_INCH]


def coarser_pitches_m(pitch_m: float) -> list[float]:
    """Return the pitches of the stock that are coarser than one, m, the nearest first."""
    return [each for each in reversed(stock_pitches_m()) if each > pitch_m * (1.0 + 1e-9)]


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
