"""How strong the coolant is and what to pour in to mend it.

Never here: level switches, pumps or hoses.

Concentrations are shares by volume, 0 to 1, and volumes simply add (a choice: oil in water
shrinks by less than a refractometer shows). A refractometer reads true only after its
reading is multiplied by the factor from the fluid's own sheet. Source: a coolant maker's
questions page with the same numbers as the test; STLE TLT, March 2009. Five to ten per cent
is usual for soluble oil (one workshop page, weak).
"""

from typing import Final, NamedTuple

from sim.errors import DrycycleError
from sim.words.fields import name
from sim.words.message import plain, row

_NEAT: Final = row("mix.neat", "a concentration of {wanted} cannot be mixed", wanted=name())
_BELOW_ONE: Final = plain("mix.neat.do", "ask for less than 1")
_WATER: Final = row(
    "mix.water", "a concentration of {wanted} takes water without end", wanted=name()
)
_ABOVE_ZERO: Final = plain("mix.water.do", "ask for more than 0")
_DRIED: Final = row(
    "mix.dried",
    "{lost} m3 of water cannot dry off {volume} m3",
    lost=name(), volume=name(),
)  # fmt: skip
_LESS_WATER: Final = plain("mix.dried.do", "take off less than the water that is in it")


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


def concentrate_to_add_m3(volume_m3: float, present: float, wanted: float) -> float:
    """Return the concentrate that makes a tank stronger, m3; nothing if it is strong enough.

    Raises:
        DrycycleError: The wanted mixture is neat concentrate or more.
    """
    if not wanted < 1.0:
        raise DrycycleError(_NEAT(wanted=str(wanted)), "coolant", _BELOW_ONE)
    return max(0.0, volume_m3 * (wanted - present) / (1.0 - wanted))


def water_to_add_m3(volume_m3: float, present: float, wanted: float) -> float:
    """Return the water that makes a tank weaker, m3; nothing if it is weak enough.

    Raises:
        DrycycleError: The wanted mixture is plain water or less.
    """
    if not wanted > 0.0:
        raise DrycycleError(_WATER(wanted=str(wanted)), "coolant", _ABOVE_ZERO)
    return max(0.0, volume_m3 * (present / wanted - 1.0))


def after_drying(volume_m3: float, present: float, water_lost_m3: float) -> float:
    """Return the concentration once water has dried off; the oil stays behind.

    Raises:
        DrycycleError: More water is lost than the tank held.
    """
    left_m3 = volume_m3 - water_lost_m3
    if left_m3 <= volume_m3 * present:
        what = _DRIED(lost=str(water_lost_m3), volume=str(volume_m3))
        raise DrycycleError(what, "coolant", _LESS_WATER)
    return volume_m3 * present / left_m3


def top_up(volume_m3: float, present: float, full_m3: float, wanted: float) -> Mix:
    """Return what to pour in to fill a tank at the wanted concentration, or as near as it gets.

    Too strong a rest gives plain water, too weak a rest gives plain concentrate.
    """
    room_m3 = full_m3 - volume_m3
    concentrate_m3 = min(max(0.0, full_m3 * wanted - volume_m3 * present), room_m3)
    return Mix(concentrate_m3, room_m3 - concentrate_m3)
