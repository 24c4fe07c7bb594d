"""Loading a fresh bar: what stands against it."""

from collections.abc import Iterator, Mapping
from typing import Final

from sim.plant.bar import Stock
from sim.plant.mode_key import IN_POCKET
from sim.plant.plant import Plant
from sim.plant.vise import JAW_GAPS, VISES
from sim.saw import Saw
from sim.session.why import no_power
from sim.trade.handling import tips
from sim.words.fields import mm
from sim.words.message import NOTHING, Message, plain, row, sentences

_BAND_TURNS: Final = plain(
    "loading.band-turns", "The band turns. Stop it and wait until it stands."
)
_HELD: Final = plain("loading.held", "A vise holds the old bar. Release both vises first.")
_HEAD_LOW: Final = plain("loading.head-low", "The head is in the way. Raise it first.")
_KEY_IN: Final = plain(
    "loading.key-in", "Put the key into the mode switch: without it no key moves anything."
)
_KEY_ALONG: Final = plain("loading.key-along", "Then take the key of the mode switch along.")
_TIPS: Final = row(
    "loading.tips",
    "A bar of {length} would tip: its middle is not over the rollers, which reach back to {rollers}. Have it "
    "cut shorter first.",
    length=mm(), rollers=mm(),
)  # fmt: skip


def loading_blocked(saw: Saw, stock: Stock) -> Message:
    """Return why no bar can be loaded now, with all that is to be done before, in its order, or nothing."""
    plant = saw.plant
    held = not (plant.cutting_vise.back and plant.shuttle_vise.back)
    low = plant.head.place.position <= max(plant.bar.height_m, stock.section.height_m)
    tipping = tips(stock.length_m, stock.front_m, -plant.site.machine.rollers_m, 0.0)
    return sentences(
        _BAND_TURNS if plant.band.moves else NOTHING,
        *(_before_keys(saw) if held or low else ()),
        _HEAD_LOW if low else NOTHING,
        _HELD if held else NOTHING,
        _KEY_ALONG if held or low else NOTHING,
        _TIPS(length=stock.length_m, rollers=plant.site.machine.rollers_m) if tipping else NOTHING,
    )


def _before_keys(saw: Saw) -> Iterator[Message]:
    """Yield what a key that moves a part wants first: control power, and the key of the mode switch."""
    yield from no_power(saw)
    if saw.read("mode.key") == IN_POCKET:
        yield _KEY_IN


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
