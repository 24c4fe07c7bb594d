"""Loading a fresh bar: what stands against it."""

from typing import Final

from sim.plant.plant import Plant
from sim.words.message import NOTHING, Message, plain

_BAND_TURNS: Final = plain(
    "loading.band-turns", "The band turns. Stop it and wait until it stands."
)
_HELD: Final = plain("loading.held", "A vise holds the old bar. Release both vises first.")
_HEAD_LOW: Final = plain(
    "loading.head-low",
    "The head is in the way. Raise it first, then take the key of the mode switch along.",
)


def loading_blocked(plant: Plant) -> Message:
    """Return why no bar can be loaded now, or nothing."""
    if plant.band.moves:
        return _BAND_TURNS
    if not (plant.cutting_vise.back and plant.shuttle_vise.back):
        return _HELD
    if plant.head.place.position <= plant.bar.height_m:
        return _HEAD_LOW
    return NOTHING
