"""One cut with the edge that the teeth have: its table, and what it asks of that edge.

Never here: clocks, valves, dangers, or how the edge came to be as it is.

Theory. The chip that force and valve give a tooth says how much of its way it rubs (`sim.trade.edge`).
Rubbing raises force and thrust, and that gives a thinner chip again where the feed force rules: so the
table is worked out once more with the mean of what rubbing adds. That stops after one step, for a head
whose teeth do not bite is on its way to a standstill; the trend is claimed, not the last per cent.

Theory of overfeeding. A band fed with more than it is made for wears faster (`sim.trade.life.wear_overfed`),
and what is uneven in its set and its grinding pushes it aside by more than its share: a heavy hand makes a
crooked cut (common practice, no source; by how much is chosen for this saw).
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from math import fsum
from typing import Final

from sim.trade.cut_table import CutTable, cut_table
from sim.trade.cutting import CutConditions, chip_thickness_m, cutting_power_w
from sim.trade.edge import SIDE_RUBBING, THRUST_RUBBING, force_of_rubbing, rubbing
from sim.trade.life import CONTACT_OF_REFERENCE_M, overfed, wear_by_chip, wear_overfed
from sim.trade.sections import Section

SIDE_OVERFED: Final = (
    1.0  # by how much more of the thrust goes sideways at twice `OVERFED_M`; chosen
)
_TIMES: Final = 16  # of a cut at which it is looked at, evenly
_KEPT: Final = 512  # cuts; a scenario runs many times on one bar, and each takes a millisecond


@dataclass(frozen=True, slots=True)
class ToothEdge:
    """The edge of the teeth in a metal."""

    radius_m: float
    hardened: float  # hardness of a rubbed surface by that of the metal


@dataclass(frozen=True, slots=True)
class ToothedCut:
    """A cut and what it asks of the teeth, each a mean over its time."""

    table: CutTable
    chip_m: float
    rubbed: float  # share of their way on which the teeth rub
    harder: float  # force on a tooth by what Kienzle's law has
    sideways: (
        float  # share of the thrust that goes sideways, by that of teeth that bite a fair chip
    )
    toil: float  # how fast they wear, by that of the life that is known
    powers_w: tuple[float, ...]  # cutting power at even times of the cut


def _looked_at(table: CutTable) -> tuple[tuple[float, float, float], ...]:
    """Return contact and chip, m, and head speed, m/s, at even times of a cut."""
    cut = table.conditions
    found = []
    for each in range(_TIMES):
        depth_m = table.depth_at_m((each + 0.5) / _TIMES * table.duration_s)
        contact_m = table.contact_m_at(depth_m)
        feed_m_s = table.law.feed_m_s(contact_m)
        chip_m = chip_thickness_m(feed_m_s, cut.pitch_m, cut.band_speed_m_s)
        found.append((contact_m, chip_m, feed_m_s))
    return tuple(found)


@lru_cache(maxsize=_KEPT)
def toothed_cut(  # one argument more than a cut table has
    section: Section,
    feed_force_n: float,
    valve_m_s: float,
    conditions: CutConditions,
    edge: ToothEdge,
    mitre_rad: float = 0.0,
) -> ToothedCut:
    """Return a cut with the edge that its teeth have.

    Args:
        section: What is cut, as it lies.
        feed_force_n: Force that pushes the band into the metal, N, above zero.
        valve_m_s: Fastest descent that the feed valve lets through, m/s, above zero.
        conditions: Metal, band and band speed, of teeth that bite.
        edge: The edge of the teeth.
        mitre_rad: Swivel of the head from the square cut, rad.

    Raises:
        DrycycleError: Force, valve or mitre is impossible.
    """
    radius_m, hardened = edge.radius_m, edge.hardened
    table = cut_table(section, feed_force_n, valve_m_s, conditions, mitre_rad)
    looked_at = _looked_at(table)
    rubbed = fsum(rubbing(chip_m, radius_m) for _, chip_m, _ in looked_at) / _TIMES
    harder = 1.0
    if rubbed > 0.0:
        harder = (
            fsum(
                force_of_rubbing(chip_m, radius_m, conditions.mc, hardened)
                for _, chip_m, _ in looked_at
            )
            / _TIMES
        )
        rubbing_too = replace(
            conditions,
            kc11_pa=conditions.kc11_pa * harder,
            thrust_ratio=conditions.thrust_ratio * (1.0 + THRUST_RUBBING * rubbed),
        )
        table = cut_table(section, feed_force_n, valve_m_s, rubbing_too, mitre_rad)
        looked_at = _looked_at(table)
        rubbed = fsum(rubbing(chip_m, radius_m) for _, chip_m, _ in looked_at) / _TIMES
    toil = fsum(
        contact_m / CONTACT_OF_REFERENCE_M
        * wear_by_chip(chip_m, rubbing(chip_m, radius_m), hardened)
        for contact_m, chip_m, _ in looked_at
    ) / _TIMES  # fmt: skip
    mean_m = fsum(chip_m for _, chip_m, _ in looked_at) / _TIMES
    return ToothedCut(
        table=table,
        chip_m=mean_m,
        rubbed=rubbed,
        harder=harder,
        sideways=1.0 + SIDE_RUBBING * rubbed + SIDE_OVERFED * overfed(mean_m),
        toil=toil * wear_overfed(mean_m),
        powers_w=tuple(
            cutting_power_w(feed_m_s, contact_m, table.conditions)
            for contact_m, _, feed_m_s in looked_at
        ),
    )
