"""What an action may need of the machine: the fact, what is said when it does not hold, and the remedy.

A need is a look-up in the controller's image (see `interlocks`).

Never here: which action needs which.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from sim.control.nouns import THE
from sim.words.fields import part
from sim.words.message import Message, plain, row

Image = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Need:
    """Something in the image that must have one of some values."""

    subject: str
    values: tuple[object, ...]
    sentence: Message  # said when it does not hold
    remedy: Message

    def holds(self, image: Image) -> bool:
        """Return whether the image satisfies it."""
        return image[self.subject] in self.values


def _need(name: str, subject: str, value: object, sentence: str, remedy: str) -> Need:
    values = value if isinstance(value, tuple) else (value,)
    said = plain(f"need.{name}.refused", sentence), plain(f"need.{name}.remedy", remedy)
    return Need(subject, values, *said)


# fmt: off
POWER: Final = _need("power", "supply", "ON",
    "There is no control power.", "Switch control on with both hands.")
GUARD: Final = _need("band-guard", "B41", True,
    "B41: the band guard is open.", "Close the band guard.")
COVER: Final = _need("wheel-cover", "B42", True,
    "B42: the wheel cover is open.", "Close the wheel cover.")
TENSION: Final = _need("tension", "B51", True,
    "B51: the band is not tensioned.", "Tension the band.")
OVERLOAD: Final = _need("overload", "F1", True,
    "F1: the overload relay has tripped.",
    "Let the motor cool, find the cause, and reset the relay.")
BAND_FAULT: Final = _need("band-fault", "band", ("STOPPED", "STARTING", "RUNNING", "COASTING"),
    "The band fault is latched.", "Find the cause, then press reset.")
DEVIATION: Final = _need("deviation", "latch.deviation", False,
    "The deviation stop is latched.", "Find why the band wanders, then press reset.")
HEAD_UP: Final = _need("head-up", "B11", True,
    "B11: the head is not up at its height stop.", "Lift the head.")
CUTTING_GRIPPED: Final = _need("cutting-vise-gripped", "B33", True,
    "B33: the cutting vise is not gripped.", "Grip the cutting vise.")
CUTTING_NOT_GRIPPED: Final = _need("cutting-vise-free", "B33", False,
    "B33: the cutting vise is gripped.", "Free the cutting vise.")
SHUTTLE_GRIPPED: Final = _need("shuttle-vise-gripped", "B34", True,
    "B34: the shuttle vise is not gripped.", "Grip the shuttle vise.")
SHUTTLE_NOT_GRIPPED: Final = _need("shuttle-vise-free", "B34", False,
    "B34: the shuttle vise is gripped.", "Free the shuttle vise.")
AT_SPEED: Final = _need("at-speed", "B2", True,
    "B2: the band is not at speed.", "Start the band and let it come to speed.")
AIR: Final = _need("air", "B61", True,
    "B61: the air pressure is low.", "Restore the air supply.")
OIL: Final = _need("oil", "B62", True,
    "B62: the oil level is low.", "Top up the oil.")
BAR: Final = _need("bar", "B53", True,
    "B53: there is no bar at the shuttle vise.", "Load a bar.")
STILL: Final = _need("standstill", "B1", False,
    "B1: the band still turns.", "Wait until the band stands still.")
ISOLATOR: Final = _need("isolator", "Q0", True,
    "Q0: the isolator is off.", "Switch the isolator on.")
STOP_RELEASED: Final = _need("emergency-stop", "S1", True,
    "S1: the emergency stop is pressed in.",
    "Release the emergency stop when the reason for it is gone.")
DRIVE_STOP_RELEASED: Final = _need("drive-stop", "S2", True,
    "S2: the drive stop is held in.", "Let the drive stop go.")
# fmt: on

_IN_HAND: Final = row("need.in-auto.refused", "{station} is in HAND.", station=part(capital=True))
_TO_AUTO: Final = row("need.in-auto.remedy", "Turn {station} to AUTO, or arm.", station=part())


def in_auto(station: str) -> Need:
    """Return the need for a station to be turned to AUTO."""
    the = THE[station]
    return Need(f"mode.{station}", ("AUTO",), _IN_HAND(station=the), _TO_AUTO(station=the))
