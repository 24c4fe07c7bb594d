"""One cut from top to bottom: depth against time, tabulated once and read by bisection.

Never here: clocks, valves or why the numbers are what they are on a given saw.

Theory. The time of the cut is the integral of dy / v(y), with v from `sim.trade.feed_law`.
The cut is split at the breaks of the section and where the contact gets longer or shorter
than the free contact; inside such a stretch contact and feed only rise or only fall. Where
the feed is constant one cell is exact; elsewhere `sim.trade.quadrature` is used.

Power. Up to the free contact, power is proportional to the contact; beyond it, it is feed force x
band speed / thrust ratio. Forces are an extrapolation of Kienzle's law, see
`sim.trade.cutting`.
"""

from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import accumulate, pairwise
from math import fsum
from operator import mul
from typing import Final, NamedTuple

from sim.errors import DrycycleError
from sim.trade.choice import narrowest_contact_m
from sim.trade.cutting import (
    CutConditions,
    chip_thickness_m,
    cutting_power_w,
    teeth_in_contact,
)
from sim.trade.feed_law import FeedLaw, feed_law
from sim.trade.quadrature import cosine_mesh
from sim.trade.sections import Section, mitre_factor
from sim.words.fields import name
from sim.words.message import plain, row

_INSIDE: Final = 1e-9  # share of a stretch by which its ends are looked at from inside
_LEAST_EIGHTS: Final = 2  # of cells, in a stretch on which the feed changes; meshes are kept
_AREA_CELLS: Final = 32  # in a stretch of constant feed but changing contact
_OUTSIDE: Final = row(
    "cut-table.outside",
    "a cut cannot start {depth} m deep in a bar of {height} m",
    depth=name(), height=name(),
)  # fmt: skip
_START_INSIDE: Final = plain(
    "cut-table.outside.do", "start between the top of the bar and its bottom"
)
EVEN_STEPS: Final = 32  # of the height, at which a whole cut is looked at
_HALVINGS: Final = 40  # of a stretch, to find where the free contact is crossed


@dataclass(frozen=True)
class CutTable:
    """Depths and the times at which the band reaches them, with the loads on the way.

    `depth_m` starts at the start depth and ends at the bottom of the bar; `time_s` starts
    at 0. `least_teeth` is that of the section, see `sim.trade.choice.narrowest_contact_m`.
    """

    section: Section
    conditions: CutConditions
    law: FeedLaw
    widening: float
    depth_m: tuple[float, ...]
    time_s: tuple[float, ...]
    peak_power_w: float
    mean_power_w: float
    peak_chip_m: float
    least_teeth: float

    @property
    def duration_s(self) -> float:
        """Time from the start depth to the bottom, s."""
        return self.time_s[-1]

    def time_at_s(self, depth_m: float) -> float:
        """Return when the band is at a depth, s; held at the ends of the table."""
        return _read(self.depth_m, self.time_s, depth_m)

    def depth_at_m(self, time_s: float) -> float:
        """Return where the band is at a time, m; held at the ends of the table."""
        return _read(self.time_s, self.depth_m, time_s)

    def contact_m_at(self, depth_m: float) -> float:
        """Return the metal across the band at a depth, mitre included, m."""
        return self.section.contact_length_m(depth_m) * self.widening

    def feed_m_s_at(self, depth_m: float) -> float:
        """Return the head speed at a depth, m/s."""
        return self.law.feed_m_s(self.contact_m_at(depth_m))

    def power_w(self, depth_m: float) -> float:
        """Return the cutting power at a depth, W."""
        contact_m = self.contact_m_at(depth_m)
        return cutting_power_w(self.law.feed_m_s(contact_m), contact_m, self.conditions)

    @cached_property
    def powers_w(self) -> tuple[float, ...]:
        """Cutting power at even depths of the bar, top and bottom included, W."""
        step_m = self.section.height_m / EVEN_STEPS
        return tuple([self.power_w(each * step_m) for each in range(EVEN_STEPS + 1)])


def _read(known: tuple[float, ...], wanted: tuple[float, ...], at: float) -> float:
    if at <= known[0]:
        return wanted[0]
    if at >= known[-1]:
        return wanted[-1]
    right = bisect_right(known, at)
    left = right - 1
    share = (at - known[left]) / (known[right] - known[left])
    return wanted[left] + share * (wanted[right] - wanted[left])


class _Stretch(NamedTuple):
    """A run of depths on which the contact only rises, only falls or stays."""

    top_m: float
    bottom_m: float
    top_contact_m: float
    bottom_contact_m: float

    @property
    def steady(self) -> bool:
        return self.top_contact_m == self.bottom_contact_m

    @property
    def longest_m(self) -> float:
        return max(self.top_contact_m, self.bottom_contact_m)

    @property
    def height_m(self) -> float:
        return self.bottom_m - self.top_m


def _stretches(section: Section, start_m: float, free_m: float) -> Iterator[_Stretch]:
    """Yield the cut below `start_m`, split at breaks and where the contact crosses `free_m`."""
    contact = section.contact_length_m
    marks = (start_m, *(depth_m for depth_m in section.breaks_m if depth_m > start_m))
    for top_m, bottom_m in pairwise(marks):
        inside_m = (bottom_m - top_m) * _INSIDE
        high_m, low_m = top_m + inside_m, bottom_m - inside_m
        top_contact_m, bottom_contact_m = contact(high_m), contact(low_m)
        free_at_top = top_contact_m <= free_m
        if free_at_top == (bottom_contact_m <= free_m):
            yield _Stretch(top_m, bottom_m, top_contact_m, bottom_contact_m)
            continue
        for _ in range(_HALVINGS):
            middle_m = (high_m + low_m) / 2.0
            if (contact(middle_m) <= free_m) == free_at_top:
                high_m = middle_m
            else:
                low_m = middle_m
        yield _Stretch(top_m, high_m, top_contact_m, free_m)
        yield _Stretch(high_m, bottom_m, free_m, bottom_contact_m)


def _area_m2(section: Section, stretch: _Stretch) -> float:
    """Return the metal area of a stretch, m2."""
    if stretch.steady:
        return stretch.height_m * stretch.top_contact_m
    contact, top_m, height_m = section.contact_length_m, stretch.top_m, stretch.height_m
    mesh = cosine_mesh(_AREA_CELLS)
    lengths_m = [contact(top_m + height_m * point) for point in mesh.points]
    return height_m * fsum(map(mul, lengths_m, mesh.weights))


def _slowed_cells(
    section: Section, stretch: _Stretch, law: FeedLaw, free_m: float, cells: int
) -> tuple[list[float], list[float]]:
    """Return the cells' lower ends, m, and the time each cell takes, s; contact over `free_m`."""
    contact, top_m, height_m = section.contact_length_m, stretch.top_m, stretch.height_m
    mesh, slope = cosine_mesh(cells), law.slope
    unit_s = height_m / law.free_feed_m_s
    slowness = [(contact(top_m + height_m * point) / free_m) ** slope for point in mesh.points]
    parts = list(map(mul, slowness, mesh.weights))
    steps_s = [(one + other) * unit_s for one, other in zip(parts[::2], parts[1::2], strict=True)]
    return [top_m + height_m * end for end in mesh.ends], steps_s


def cut_table(
    section: Section,
    feed_force_n: float,
    valve_m_s: float,
    conditions: CutConditions,
    mitre_rad: float = 0.0,
    start_depth_m: float = 0.0,
    nodes: int = 256,
) -> CutTable:
    """Return the table of one cut, good to 1e-6 of its duration at 256 nodes.

    Args:
        section: What is cut, as it lies.
        feed_force_n: Force that pushes the band into the metal, N, above zero.
        valve_m_s: Fastest descent that the feed valve lets through, m/s, above zero.
        conditions: Metal, band and band speed.
        mitre_rad: Swivel of the head from the square cut, rad.
        start_depth_m: Depth already cut, m, from 0 to short of the height.
        nodes: About how many depths to tabulate; fewer where the feed is constant.

    Raises:
        DrycycleError: Force, valve or mitre is impossible, or nothing is left to cut.
    """
    if not 0.0 <= start_depth_m < section.height_m:
        what = _OUTSIDE(depth=str(start_depth_m), height=str(section.height_m))
        raise DrycycleError(what, "cut", _START_INSIDE)
    law = feed_law(feed_force_n, valve_m_s, conditions)
    widening = mitre_factor(mitre_rad)
    free_m = law.free_contact_m / widening
    free_energy_j_m2 = cutting_power_w(law.free_feed_m_s, widening, conditions) / law.free_feed_m_s
    full_power_w = feed_force_n * conditions.band_speed_m_s / conditions.thrust_ratio
    cells_a_metre = nodes / (section.height_m - start_depth_m)

    stretches = tuple(_stretches(section, start_depth_m, free_m))
    depths_m, steps_s, energy_j = [start_depth_m], [0.0], 0.0
    for stretch in stretches:
        free = stretch.longest_m <= free_m
        if free or stretch.steady:
            feed_m_s = law.feed_m_s(stretch.longest_m * widening)
            ends_m, times_s = [stretch.bottom_m], [stretch.height_m / feed_m_s]
        else:
            eights = max(_LEAST_EIGHTS, round(stretch.height_m * cells_a_metre / 8.0))
            ends_m, times_s = _slowed_cells(section, stretch, law, free_m, eights * 8)
        depths_m += ends_m
        steps_s += times_s
        energy_j += (
            free_energy_j_m2 * _area_m2(section, stretch) if free else full_power_w * fsum(times_s)
        )

    time_s = tuple(accumulate(steps_s))
    contacts_m = [m for each in stretches for m in (each.top_contact_m, each.bottom_contact_m)]
    longest_m, shortest_m = max(contacts_m) * widening, min(contacts_m) * widening
    pitch_m, band_speed_m_s = conditions.pitch_m, conditions.band_speed_m_s
    return CutTable(
        section=section,
        conditions=conditions,
        law=law,
        widening=widening,
        depth_m=tuple(depths_m),
        time_s=time_s,
        peak_power_w=cutting_power_w(law.feed_m_s(longest_m), longest_m, conditions),
        mean_power_w=energy_j / time_s[-1],
        peak_chip_m=chip_thickness_m(law.feed_m_s(shortest_m), pitch_m, band_speed_m_s),
        least_teeth=teeth_in_contact(narrowest_contact_m(section) * widening, pitch_m),
    )
