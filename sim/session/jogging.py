"""Leading the band by jogs, as a remedy: what stands against it.

Never here: the jog itself, which is a key (see `control.interlocks`), and how far one leads the band (see `plant.seat`).
"""

from typing import Final

from sim.plant.mode_key import IN_POCKET
from sim.saw import Saw
from sim.words.message import NOTHING, Message, plain

_DEAD: Final = plain(
    "jogging.dead",
    "Nothing is jogged without control power. With nobody's lock on the saw, switch control on, then raise the head.",
)
_KEY_OUT: Final = plain(
    "jogging.key-out",
    "The key of the mode switch is out, and the band is jogged in MAINTENANCE. Put the key in first.",
)
_HEAD_LOW: Final = plain(
    "jogging.head-low", "The band stands no higher than the bar. Raise the head clear of it first."
)


def jogging_blocked(saw: Saw) -> Message:
    """Return why the band of a saw that is whole cannot be jogged now, or nothing."""
    if saw.controller.image["supply"] != "ON":
        return _DEAD
    if saw.read("mode.key") == IN_POCKET:
        return _KEY_OUT
    plant = saw.plant
    return _HEAD_LOW if plant.head.place.position <= plant.bar.height_m else NOTHING
