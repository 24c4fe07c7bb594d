"""What an action may need of the machine: the fact, what is said when it does not hold, and the remedy.

A need is a look-up in the controller's image (see `interlocks`).

One that only a single interlock asks for may stand in that row.

Never here: which action needs which.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from sim.control.decision import REMEDY, told_of
from sim.control.nouns import THE
from sim.words.fields import part
from sim.words.message import Message, plain, row

Image = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Need:
    """Something in the image that must have one of some values."""

    subject: str
    values: tuple[object, ...]
    fact: Message  # how it is where it does not hold, a clause
    to_do: Message  # what would make it hold, a clause

    @property
    def sentence(self) -> Message:
        """What is said where it does not hold, with the device that shows it."""
        return told_of(self.subject, self.fact)

    @property
    def remedy(self) -> Message:
        """What would make it hold, as a sentence."""
        return REMEDY(to_do=self.to_do)

    def holds(self, image: Image) -> bool:
        """Return whether the image satisfies it."""
        return image[self.subject] in self.values


def need(name: str, subject: str, value: object, fact: str, to_do: str) -> Need:
    """Return a need, whose messages' keys come from its name.

    Args:
        name: Of the fact, for its keys.
        subject: What is looked up in the image.
        value: What it must be, or a tuple of what it may be.
        fact: How it is where it does not hold, a clause.
        to_do: What would make it hold, a clause.
    """
    values = value if isinstance(value, tuple) else (value,)
    said = plain(f"need.{name}.refused", fact), plain(f"need.{name}.remedy", to_do)
    return Need(subject, values, *said)


# fmt: off
POWER: Final = need("power", "supply", "ON",
    "there is no control power", "switch control on with both hands")
GUARD: Final = need("band-guard", "B41", True,
    "the band guard is open", "close the band guard")
COVER: Final = need("wheel-cover", "B42", True,
    "the wheel cover is open", "close the wheel cover")
TENSION: Final = need("tension", "B51", True,
    "the band is not tensioned", "tension the band")
OVERLOAD: Final = need("overload", "F1", True,
    "the overload relay has tripped",
    "let the motor cool, find the cause, and reset the relay")
BAND_FAULT: Final = need("band-fault", "band", ("STOPPED", "STARTING", "RUNNING", "COASTING"),
    "the band fault is latched", "find the cause, then press reset")
DEVIATION: Final = need("deviation", "latch.deviation", False,
    "the deviation stop is latched", "find why the band wanders, then press reset")
HEAD_UP: Final = need("head-up", "B11", True,
    "the head is not up at its height stop", "lift the head")
CUTTING_GRIPPED: Final = need("cutting-vise-gripped", "B33", True,
    "the cutting vise is not gripped", "grip the cutting vise")
CUTTING_NOT_GRIPPED: Final = need("cutting-vise-free", "B33", False,
    "the cutting vise is gripped", "free the cutting vise")
SHUTTLE_GRIPPED: Final = need("shuttle-vise-gripped", "B34", True,
    "the shuttle vise is not gripped", "grip the shuttle vise")
SHUTTLE_NOT_GRIPPED: Final = need("shuttle-vise-free", "B34", False,
    "the shuttle vise is gripped", "free the shuttle vise")
AT_SPEED: Final = need("at-speed", "B2", True,
    "the band is not at speed", "start the band and let it come to speed")
AIR: Final = need("air", "B61", True,
    "the air pressure is low", "restore the air supply")
OIL: Final = need("oil", "B62", True,
    "the oil level is low", "top up the oil")
BAR: Final = need("bar", "B53", True,
    "there is no bar at the shuttle vise", "load a bar")
STILL: Final = need("standstill", "B1", False,
    "the band still turns", "wait until the band stands still")
ISOLATOR: Final = need("isolator", "Q0", True,
    "the isolator is off", "switch the isolator on")
STOP_RELEASED: Final = need("emergency-stop", "S1", True,
    "the emergency stop is pressed in",
    "release the emergency stop when the reason for it is gone")
DRIVE_STOP_RELEASED: Final = need("drive-stop", "S2", True,
    "the drive stop is held in", "let the drive stop go")
# fmt: on

_IN_HAND: Final = row("need.in-auto.refused", "{station} is in HAND", station=part())
_TO_AUTO: Final = row("need.in-auto.remedy", "turn {station} to AUTO, or arm", station=part())


def in_auto(station: str) -> Need:
    """Return the need for a station to be turned to AUTO."""
    the = THE[station]
    return Need(f"mode.{station}", ("AUTO",), _IN_HAND(station=the), _TO_AUTO(station=the))
