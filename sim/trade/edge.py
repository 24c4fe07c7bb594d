"""The edge of a saw tooth: how round it is, when it rubs, what rubbing does, and how it goes blunt.

Never here: a whole cut (`sim.trade.cut_table`) or how long a band lasts (`sim.trade.life`).

Theory of rubbing. A tooth whose edge has a radius r forms no chip below a least thickness, 0.2 to 0.4 r
(from memory; that there is one and that it grows with r: an archive's film of orthogonal cutting of an
austenitic steel). It ploughs and rubs instead, at the force at which a chip would begin. A band's tooth
has an edge of 5 to 15 um and takes 5 to 50 um (Sarwar, Haider and Persson, "Scientific evaluation of
cutting-off process in bandsawing"). Here the share of rubbing rises from nothing at `RUBS_BELOW` r to
all at no chip; the shape of that rise is chosen for this saw.

Theory of hardening. The surface that a tooth has rubbed over is harder than the metal under it,
`Material.hardened` times at the most, and it is what the next tooth meets. Austenitic steel hardens most.

Theory of blunting. Wear runs evenly at first and faster at the end; force, thrust and sideways force grow
with `blunted` from those of a sharp tooth to those of a worn one. Past its life a band hardly cuts: what it
presses with to take a chip, and what of that goes sideways, grow by `worn_out` as well, with no end to it (that
such a band stops cutting and runs off is common practice, no source; the law is chosen for this saw). A new band has edges too fine to stand a
full chip: they chip off unevenly unless it is run in at half the feed for the first 320 to 650 cm2 (two
public trade pages). Here no tooth gets more than half the fair chip; a round bar is fed more than that in
its middle, so its cut slows to two fifths. What skipping it costs is chosen for this saw.
"""

from math import exp
from typing import Final

from sim.trade.bounds import require_above_zero

EDGE_FRESH_M: Final = 2.5e-6  # of a new band, before it is run in; chosen, half of the next
EDGE_SHARP_M: Final = 5e-6  # the finest of the published 5 to 15 um
# of them; a blunter one would hardly go down under the feed force there is
EDGE_WORN_M: Final = 8e-6
# of the edge radius; above the least chip, since a tooth ploughs before it rubs
RUBS_BELOW: Final = 0.6
# share of rubbing x hardening squared, as in the wear of it; chosen for this saw
RUBS_BADLY: Final = 1.0
STARVED: Final = 0.65  # of that, where the feed is to blame and no blunt edge; chosen for this saw
FAIR_CHIP_M: Final = 6e-6  # what a run-in band is fed with; within the published 5 to 50 um
EASY_CHIP_M: Final = 3e-6  # half of it, for a new band
RUN_IN_M2: Final = 0.04  # within the published 320 to 650 cm2
RUN_IN_LOSS: Final = 0.3  # of a band's life, if it is never run in; chosen for this saw
WORN_OUT_FROM: Final = (
    1.1  # of its life, which is a figure that nobody knows nearer; chosen for this saw
)
WORN_OUT: Final = 12.0  # seven times as much at one and a half times its life; chosen for this saw
STRAIGHT_WEAR: Final = 0.5  # of the blunting that goes evenly with wear; chosen for this saw
# by how much more a rubbing tooth presses than it pulls, on top of 1; chosen
THRUST_RUBBING: Final = 1.0
SIDE_RUBBING: Final = 1.0  # by how much more of that goes sideways, on top of 1; chosen


def edge_radius_m(wear: float, fresh: float = 0.0) -> float:
    """Return the radius of a tooth's edge, m.

    Args:
        wear: Share of the band's life that is used up, 0 to 1 and beyond.
        fresh: Share of its running-in that a new band still has before it, 1 to 0.
    """
    sharp_m = EDGE_SHARP_M + (EDGE_FRESH_M - EDGE_SHARP_M) * fresh
    return sharp_m + (EDGE_WORN_M - EDGE_SHARP_M) * wear


def rubbing(chip_m: float, edge_m: float) -> float:
    """Return the share of a tooth's way on which it rubs instead of cutting, 0 to 1.

    Args:
        chip_m: Chip that the feed would give it, m.
        edge_m: Radius of its edge, m.
    """
    short = 1.0 - chip_m / (RUBS_BELOW * edge_m)
    return short * short if short > 0.0 else 0.0


def rubbing_felt(rubbed: float, hardened: float) -> float:
    """Return how much teeth rub by how much is told; sooner in metal that hardens.

    Args:
        rubbed: Share of their way on which they rub, 0 to 1.
        hardened: Hardness of a rubbed surface by that of the metal, 1 or more.
    """
    return rubbed * hardened**2 / RUBS_BADLY


def rubs_badly(rubbed: float, hardened: float) -> bool:
    """Return whether teeth rub so much that somebody should be told: sooner in metal that hardens.

    Args:
        rubbed: Share of their way on which they rub, 0 to 1.
        hardened: Hardness of a rubbed surface by that of the metal, 1 or more.
    """
    return rubbing_felt(rubbed, hardened) >= 1.0


def starved(chip_m: float, hardened: float) -> bool:
    """Return whether the feed gives teeth so little that sharp ones would rub: told sooner than of blunt ones.

    Args:
        chip_m: Mean chip of a cut, m.
        hardened: Hardness of a rubbed surface by that of the metal, 1 or more.
    """
    return rubbing_felt(rubbing(chip_m, EDGE_SHARP_M), hardened) >= STARVED


def force_of_rubbing(chip_m: float, edge_m: float, mc: float, hardened: float) -> float:
    """Return the force on a tooth by what Kienzle's law has at its chip, one or more.

    A tooth that rubs carries the force at which a chip would begin, in metal that the tooth before it
    hardened.

    Args:
        chip_m: Chip that the feed would give it, m.
        edge_m: Radius of its edge, m.
        mc: Kienzle's exponent.
        hardened: Hardness of a rubbed surface by that of the metal, 1 or more.

    Raises:
        DrycycleError: There is no chip.
    """
    require_above_zero("chip", chip_m=chip_m)
    share = rubbing(chip_m, edge_m)
    begins = (RUBS_BELOW * edge_m / chip_m) ** (1.0 - mc) - 1.0 if share else 0.0
    return float((1.0 + share * begins) * (1.0 + share * (hardened - 1.0)))


def blunted(wear: float) -> float:
    """Return how blunt teeth are, 0 (sharp) to 1 (worn) and beyond, from the share of life used up."""
    return STRAIGHT_WEAR * wear + (1.0 - STRAIGHT_WEAR) * wear**3


def worn_out(wear: float) -> float:
    """Return how much more a band presses and runs off that has passed its life, 1 or more; smooth."""
    return exp(WORN_OUT * max(0.0, wear - WORN_OUT_FROM) ** 2)


def fresh_share(sawn_m2: float) -> float:
    """Return what a new band still has of its running-in, 1 to 0, after an area, m2."""
    return max(0.0, 1.0 - sawn_m2 / RUN_IN_M2)


def run_in_valve_m_s(pitch_m: float, band_speed_m_s: float) -> float:
    """Return the feed valve at which no tooth of a new band gets more than its easy chip anywhere, m/s."""
    return EASY_CHIP_M * band_speed_m_s / pitch_m


def chipped_off(chip_m: float, from_m2: float, area_m2: float) -> float:
    """Return the share of a band's life that a cut costs a new band by chipping its edges.

    Nothing at half the fair chip, all of `RUN_IN_LOSS` over the whole running-in at the fair chip.

    Args:
        chip_m: Mean chip of the cut, m.
        from_m2: Area that the band has sawn before, m2.
        area_m2: Area of the cut, m2.
    """
    new_m2 = min(area_m2, max(0.0, RUN_IN_M2 - from_m2))
    over = min(max((chip_m - EASY_CHIP_M) / (FAIR_CHIP_M - EASY_CHIP_M), 0.0), 1.0)
    return RUN_IN_LOSS * over * new_m2 / RUN_IN_M2
