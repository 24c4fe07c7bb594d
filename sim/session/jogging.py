"""Leading the band by jogs, as a remedy: what stands against it.

Never here: the jog itself, which is a key (see `control.interlocks`), and how far one leads the band (see `plant.seat`).
"""

from typing import Final

from sim.plant.mode_key import IN_POCKET
from sim.saw import Saw
from sim.session.why import no_power
from sim.words.message import NOTHING, Message, plain, sentences

_DEAD: Final = plain("jogging.dead", "Nothing is jogged without control power.")
_THEN_RAISE: Final = plain("jogging.then-raise", "Then raise the head clear of the bar.")
_KEY_OUT: Final = plain(
    "jogging.key-out",
    "The key of the mode switch is out, and the band is jogged in MAINTENANCE. Put the key in first.",
)
_HEAD_LOW: Final = plain(
    "jogging.head-low", "The band stands no higher than the bar. Raise the head clear of it first."
)


def jogging_blocked(saw: Saw) -> Message:
    """Return why the band of a saw that is whole cannot be jogged now, with all that is to be done, or nothing."""
    dead, to_do = no_power(saw)
    key = _KEY_OUT if saw.read("mode.key") == IN_POCKET else NOTHING
    if dead:
        return sentences(_DEAD, to_do, key, _THEN_RAISE)
    plant = saw.plant
    low = plant.head.place.position <= plant.bar.height_m
    if key:
        return sentences(key, _THEN_RAISE if low else NOTHING)
    return _HEAD_LOW if low else NOTHING
