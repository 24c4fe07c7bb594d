"""Loading a fresh bar: what stands against it."""

from collections.abc import Mapping
from typing import Final

from sim.plant.bar import Stock
from sim.plant.plant import Plant
from sim.plant.vise import JAW_GAPS, VISES
from sim.trade.handling import tips
from sim.words.fields import mm
from sim.words.message import NOTHING, Message, plain, row

_BAND_TURNS: Final = plain(
    "loading.band-turns", "The band turns. Stop it and wait until it stands."
)
_HELD: Final = plain("loading.held", "A vise holds the old bar. Release both vises first.")
_HEAD_LOW: Final = plain(
    "loading.head-low",
    "The head is in the way. Raise it first, then take the key of the mode switch along.",
)
_TIPS: Final = row(
    "loading.tips",
    "A bar of {length} would tip: its middle is not over the rollers, which reach back to {rollers}. Have it "
    "cut shorter first.",
    length=mm(), rollers=mm(),
)  # fmt: skip


def loading_blocked(plant: Plant, stock: Stock) -> Message:
    """Return why no bar can be loaded now, or nothing."""
    if plant.band.moves:
        return _BAND_TURNS
    if not (plant.cutting_vise.back and plant.shuttle_vise.back):
        return _HELD
    if plant.head.place.position <= max(plant.bar.height_m, stock.section.height_m):
        return _HEAD_LOW
    if tips(stock.length_m, stock.front_m, -plant.site.machine.rollers_m, 0.0):
        return _TIPS(length=stock.length_m, rollers=plant.site.machine.rollers_m)
    return NOTHING


def jaw_gaps(plant: Plant) -> dict[str, float]:
    """Return how far the jaw of each vise stands from the bar, m, by its name."""
    return {vise: plant.vise(vise).gap_m for vise in VISES}


def slid_off(plant: Plant, before: Mapping[str, float]) -> dict[str, tuple[float, float]]:
    """Return the jaw gaps that a bar has just left wide enough for a finger, each with its gap and the one on the card, m.

    Args:
        plant: With that bar on it.
        before: The gaps before it was laid in.
    """
    machine = plant.site.machine
    return {
        JAW_GAPS[vise]: (gap_m, machine.jaw_gap_m)
        for vise, gap_m in jaw_gaps(plant).items()
        if plant.vise(vise).finger_fits and gap_m > before[vise]
    }
