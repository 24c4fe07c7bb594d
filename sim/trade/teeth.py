"""What a tooth and the gullet before it stand: force on the tooth, room for its chip.

Never here: which pitch to take (`sim.trade.choice`) or what becomes of a band without teeth.

Theory. A tooth is a short cantilever as wide as the kerf, its height and root in proportion to the
pitch; root stress goes with force / (kerf x pitch), so the force it stands is S x kerf x pitch. The
chip of one tooth is rolled up in the gullet before it until the tooth leaves the metal: its area,
chip thickness by length of the contact interval, swells about six times (from memory, 5 to 8).

With fewer than three teeth in the metal a tooth comes upon the wall nearly alone and takes the blow.
That three are wanted, the two walls of a tube added, is on public trade pages; that what a tooth stands
falls with the square of the share of three is chosen for this saw. Every curved bar begins and ends with
no tooth in it, so the first and last tenth are judged as if three were there (as in `sim.trade.choice`).

S is chosen so that a tooth of four to the inch breaks at a chip of some 0.05 mm in structural
steel, the top of the published range of saw chips. Forces are an extrapolation of Kienzle's law,
see `sim.trade.cutting`.
"""

from typing import Final

from sim.trade.choice import LEAST_TEETH
from sim.trade.cut_table import CutTable
from sim.trade.cutting import CutConditions, chip_thickness_m, cutting_force_n, teeth_in_contact
from sim.trade.sections import Section
from sim.units import MM

TOOTH_STRENGTH_PA: Final = 25e6  # chosen for this saw, see above
GULLET_DEPTH: Final = 0.35  # of the pitch; from memory, usual 0.3 to 0.45
GULLET_FULLNESS: Final = 0.5  # of depth x pitch that is hollow; from memory
SWELL: Final = 6.0  # room that a rolled chip takes, by its own area; from memory
_ENTRY_SHARE: Final = 0.1  # of the height, see above
_DEPTHS: Final = 40  # that are looked at, besides the two sides of every break


def gullet_depth_m(pitch_m: float) -> float:
    """Return how deep the gullet is behind a tooth tip, m."""
    return GULLET_DEPTH * pitch_m


def gullet_area_m2(pitch_m: float) -> float:
    """Return the hollow before a tooth, seen from the side, m2."""
    return GULLET_FULLNESS * gullet_depth_m(pitch_m) * pitch_m


def gullet_fill(chip_m: float, interval_m: float, pitch_m: float, packed: float = 0.0) -> float:
    """Return how full the gullet is when the tooth leaves the metal; over 1 the chip is crushed.

    Args:
        chip_m: Chip thickness, m.
        interval_m: Longest unbroken contact that the tooth runs through, m.
        pitch_m: Tooth pitch, m.
        packed: Share of the gullet that old chips still take up, 0 to below 1.
    """
    return chip_m * interval_m * SWELL / (gullet_area_m2(pitch_m) * (1.0 - packed))


def tooth_limit_n(pitch_m: float, kerf_m: float, teeth: float = LEAST_TEETH) -> float:
    """Return the force along the band that breaks a tooth, N.

    Args:
        pitch_m: Tooth pitch, m.
        kerf_m: Width of the cut, m.
        teeth: Teeth in the metal, all walls together; three or more share the blow.
    """
    share = min(1.0, teeth / LEAST_TEETH)
    return TOOTH_STRENGTH_PA * kerf_m * pitch_m * share**2


def depths_to_look_at_m(section: Section) -> tuple[float, ...]:
    """Return depths that between them show the worst of a bar, m, downwards."""
    height_m = section.height_m
    hair_m = height_m * 1e-6
    even = (height_m * (i + 0.5) / _DEPTHS for i in range(_DEPTHS))
    sides = (depth_m + side_m for depth_m in section.breaks_m for side_m in (-hair_m, hair_m))
    return tuple(sorted(d for d in {*even, *sides} if 0.0 < d < height_m))


def walls_m(section: Section, depth_m: float) -> tuple[float, float]:
    """Return the shortest and the longest contact interval at a depth, m, before any mitre."""
    lengths_m = [end_m - start_m for start_m, end_m in section.contact_intervals_m(depth_m)]
    return (min(lengths_m), max(lengths_m)) if lengths_m else (0.0, 0.0)


def _teeth_that_count(section: Section, depth_m: float, widening: float, pitch_m: float) -> float:
    edge_m = _ENTRY_SHARE * section.height_m
    if depth_m < edge_m or depth_m > section.height_m - edge_m:
        return LEAST_TEETH
    return teeth_in_contact(section.contact_length_m(depth_m) * widening, pitch_m)


def gullet_fill_at(
    table: CutTable, depth_m: float, surge: float = 1.0, packed: float = 0.0
) -> float:
    """Return how full the gullets are at a depth of a cut; over 1 they are packed.

    Args:
        table: The cut.
        depth_m: Depth, m.
        surge: How many times its even pace the head makes when it comes down in jerks.
        packed: Share of the gullets that old chips still take up.
    """
    cut = table.conditions
    chip_m = surge * chip_thickness_m(table.feed_m_s_at(depth_m), cut.pitch_m, cut.band_speed_m_s)
    _, longest_m = walls_m(table.section, depth_m)
    return gullet_fill(chip_m, longest_m * table.widening, cut.pitch_m, packed)


def tooth_strain_at(
    table: CutTable, depth_m: float, surge: float = 1.0, packed: float = 0.0
) -> float:
    """Return force on a tooth / force that it stands, at a depth of a cut; over 1 it breaks.

    A chip that has too little room raises the force in proportion. Arguments as `gullet_fill_at`.
    """
    cut, section = table.conditions, table.section
    chip_m = surge * chip_thickness_m(table.feed_m_s_at(depth_m), cut.pitch_m, cut.band_speed_m_s)
    teeth = _teeth_that_count(section, depth_m, table.widening, cut.pitch_m)
    limit_n = tooth_limit_n(cut.pitch_m, cut.kerf_m, max(teeth, 1e-6))
    force_n = cutting_force_n(cut.kc11_pa, cut.mc, cut.kerf_m, chip_m, 1.0)
    return force_n / limit_n * max(1.0, gullet_fill_at(table, depth_m, surge, packed))


def strain_at_most(table: CutTable, surge: float = 1.0, packed: float = 0.0) -> float:
    """Return a bound that neither tooth strain nor gullet fill passes anywhere in a cut.

    It takes the thickest chip, the least metal and the longest contact of the cut together, even
    where no one depth has all of them. So it is quick, and mostly enough. Arguments as `gullet_fill_at`.
    """
    cut, section = table.conditions, table.section
    chip_m = surge * table.peak_chip_m
    widest_m = section.width_m * table.widening
    fill = gullet_fill(chip_m, widest_m, cut.pitch_m, packed)
    limit_n = tooth_limit_n(cut.pitch_m, cut.kerf_m, max(table.least_teeth, 1e-6))
    force_n = cutting_force_n(cut.kc11_pa, cut.mc, cut.kerf_m, chip_m, 1.0)
    return max(fill, force_n / limit_n * max(1.0, fill))


def feed_for_teeth_m_s(
    section: Section, cut: CutConditions, safety: float = 1.5, widening: float = 1.0
) -> float:
    """Return the fastest feed valve at which no tooth of the band is in danger anywhere, m/s.

    Holds for any feed force, since the valve then bounds the chip. Gullets are taken as swept. A mitre
    brings more teeth into a wall to share its blow, and makes each carry its chip for longer.

    Args:
        section: The bar as it lies.
        cut: Metal, band and band speed.
        safety: How many times over a tooth is to stand its force; a choice.
        widening: By how much a mitre stretches the cut.
    """
    kc_n_m = cut.kc11_pa * cut.kerf_m * MM
    slowest_m_s = float("inf")
    for depth_m in depths_to_look_at_m(section):
        _, longest_m = walls_m(section, depth_m)
        through_m = longest_m * widening
        teeth = _teeth_that_count(section, depth_m, widening, cut.pitch_m)
        limit_n = tooth_limit_n(cut.pitch_m, cut.kerf_m, max(teeth, 1e-6)) / safety
        chip_m = MM * (limit_n / kc_n_m) ** (1.0 / (1.0 - cut.mc))
        room_m = gullet_area_m2(cut.pitch_m) / (SWELL * through_m * safety) if through_m else chip_m
        slowest_m_s = min(slowest_m_s, min(chip_m, room_m) * cut.band_speed_m_s / cut.pitch_m)
    return slowest_m_s
