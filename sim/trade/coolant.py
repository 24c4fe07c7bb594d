"""How strong the coolant is and what to pour in to mend it.

Never here: level switches, pumps or hoses.

Concentrations are shares by volume, 0 to 1, and volumes simply add (a choice: oil in water
shrinks by less than a refractometer shows). A refractometer reads true only after its
reading is multiplied by the factor from the fluid's own sheet. Source: a coolant maker's
questions page with the same numbers as the test; STLE TLT, March 2009. Five to ten per cent
is usual for soluble oil (one workshop page, weak).
"""

from typing import NamedTuple


class Mix(NamedTuple):
    """What to pour in, m3."""

    concentrate_m3: float
    water_m3: float


def concentration(reading: float, factor: float) -> float:
    """Return the true concentration from a refractometer's reading and the fluid's factor."""
    return reading * factor


def reading(true_concentration: float, factor: float) -> float:
    """Return what a zeroed refractometer shows for a concentration."""
    return true_concentration / factor


def top_up(volume_m3: float, present: float, full_m3: float, wanted: float) -> Mix:
    """Return what to pour in to fill a tank at the wanted concentration, or as near as it gets.

    Where even plain water, or plain concentrate, does not reach it, that is what is poured in.

    Args:
        volume_m3: What is in the tank, m3.
        present: Its concentration, 0 to 1.
        full_m3: What the full tank holds, m3.
        wanted: The concentration that is wanted, 0 to 1.
    """
    room_m3 = full_m3 - volume_m3
    concentrate_m3 = min(max(0.0, full_m3 * wanted - volume_m3 * present), room_m3)
    return Mix(concentrate_m3, room_m3 - concentrate_m3)
