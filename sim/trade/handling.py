"""How a bar gets on to the rollers: who may lift it, how long it takes, and whether it stays there.

Never here: what comes of lifting too much (see `plant.harm`), or where hands are meanwhile.

Theory. What one person lifts is limited by the NIOSH lifting equation of 1991 (from memory; not read in
full): 23 kg times a multiplier for each way in which the lift is worse than the best one,

    horizontal 25 cm / H, vertical 1 - 0.003 |V - 75 cm|, distance 0.82 + 4.5 cm / D,
    turning 1 - 0.0032 A, and one each for how often and how well it is gripped

ISO 11228-1 allows no more than 25 kg in the best case (from memory). Two people together lift two thirds
of what both could (guidance to the British manual handling rules, from memory). A bar longer than three
metres swings, and is never carried alone (common practice, no source). All else hangs from a crane, in
two slings, and lies in chocks before the slings are off. These figures are for practice here: local rules,
the risk assessment of the place and the maker's manual come first.
"""

from math import floor
from typing import Final

LOAD_CONSTANT_KG: Final = 23.0
ALONE_LONGEST_M: Final = 3.0
TEAM_OF_TWO: Final = 2.0 / 3.0  # of what both could lift

ALONE, PAIR, CRANE, UNDER = "alone", "pair", "crane", "under"
WAYS: Final = (ALONE, PAIR, CRANE, UNDER)
"""Alone, by two people, by crane from its side, and by crane with hands under the hanging bar."""


def recommended_kg(
    horizontal_m: float, vertical_m: float, distance_m: float, turn_deg: float = 0.0,
    often: float = 1.0, grip: float = 1.0,
) -> float:  # fmt: skip
    """Return the recommended weight limit of one lift, kg.

    Args:
        horizontal_m: From the ankles to the hands; at least 0.25 counts.
        vertical_m: Height of the hands as the lift begins.
        distance_m: How far up or down they go; at least 0.25 counts.
        turn_deg: How far the body is turned as it lifts.
        often: Multiplier for how often, 1 for now and then.
        grip: Multiplier for the grip, 1 for a good one.
    """
    across = 0.25 / max(horizontal_m, 0.25)
    height = 1.0 - 0.3 * abs(vertical_m - 0.75)
    way = 0.82 + 0.045 / max(distance_m, 0.25)
    turned = 1.0 - 0.0032 * turn_deg
    return LOAD_CONSTANT_KG * across * height * way * turned * often * grip


# From trestles as high as a table to rollers a hand higher, the bar before the belly, half turned.
# Whole kilograms, rounded down, so that what is said is what counts.
ALONE_KG: Final = float(floor(recommended_kg(0.35, 0.75, 0.20, 30.0)))
PAIR_KG: Final = float(floor(2.0 * ALONE_KG * TEAM_OF_TWO))


def too_much(how: str, mass_kg: float, length_m: float) -> bool:
    """Return whether a bar is too heavy or too long to be carried in a way."""
    if how == ALONE:
        return mass_kg > ALONE_KG or length_m > ALONE_LONGEST_M
    return how == PAIR and mass_kg > PAIR_KG


def loading_s(how: str, mass_kg: float) -> float:
    """Return how long it takes to load a bar, s; chosen for this workshop.

    Somebody has to be called to help; a crane is fetched, slung and let down slowly, the slower the
    heavier the bar; with hands under it nobody takes the time to stand aside.
    """
    if how == ALONE:
        return 60.0 + 3.0 * mass_kg
    if how == PAIR:
        return 120.0 + 2.0 * mass_kg
    return (180.0 if how == UNDER else 240.0) + 0.12 * max(0.0, mass_kg - 500.0)


def tips(length_m: float, front_m: float, from_m: float, to_m: float) -> bool:
    """Return whether a bar tips off its rollers with no vise closed: its middle is not over them.

    Args:
        length_m: Of the bar.
        front_m: Where its front end lies, m along x.
        from_m: The furthest roller, m along x.
        to_m: The last support before the band, m along x.
    """
    return not from_m <= front_m - length_m / 2.0 <= to_m
