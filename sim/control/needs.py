"""What an action may need of the machine: the fact, what is said when it does not hold, and the remedy.

A need is a look-up in the controller's image (see `interlocks`).

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


def _need(name: str, subject: str, value: object, fact: str, to_do: str) -> Need:
    values = value if isinstance(value, tuple) else (value,)
    said = plain(f"need.{name}.refused", fact), plain(f"need.{name}.remedy", to_do)
    return Need(subject, values, *said)


# fmt: off
POWER: Final = _need("power", "supply", "ON",
    "there is no control power", "switch control on")
GUARD: Final = _need("band-guard", "B41", True,
    "the band guard is open", "close the band guard")
COVER: Final = _need("wheel-cover", "B42", True,
    "the wheel cover is open", "close the wheel cover")
TIGHT: Final = _need("tension", "B51", True,
    "the band is too slack", "tension the band into the green zone")
NOT_TOO_TIGHT: Final = _need("over-tension", "B54", True,
    "the band is too tight", "slacken the band into the green zone")
OVERLOAD: Final = _need("overload", "F1", True,
    "the overload relay has tripped",
    "let the motor cool, find the cause, and reset the relay by its button outside the cabinet")
BAND_FAULT: Final = _need("band-fault", "band", ("STOPPED", "STARTING", "RUNNING", "COASTING"),
    "the band fault is latched", "find the cause, then press reset")
DEVIATION: Final = _need("deviation", "latch.deviation", False,
    "the deviation stop is latched", "find why the band wanders, then press reset")
TRIP_LINE_RESET: Final = _need("trip-line-latch", "latch.trip_line", False,
    "the trip line has been pulled", "set the trip line back, then press reset")
HEAD_UP: Final = _need("head-up", "B11", True,
    "the head is not up at its height stop", "raise the head")
CUTTING_CLAMPED: Final = _need("cutting-vise-clamped", "B33", True,
    "the cutting vise is not clamped", "clamp the cutting vise")
CUTTING_RELEASED: Final = _need("cutting-vise-released", "B33", False,
    "the cutting vise is clamped", "release the cutting vise")
SHUTTLE_CLAMPED: Final = _need("shuttle-vise-clamped", "B34", True,
    "the shuttle vise is not clamped", "clamp the shuttle vise")
SHUTTLE_RELEASED: Final = _need("shuttle-vise-released", "B34", False,
    "the shuttle vise is clamped", "release the shuttle vise")
AT_SPEED: Final = _need("at-speed", "B2", True,
    "the band is not at speed", "run the band and let it come to speed")
LOWEST: Final = _need("lowest-speed", "B3", True,
    "the variator is not at its lowest speed", "bring the band to its lowest speed while it runs")
HOOD: Final = _need("infeed-hood", "B43", True,
    "the infeed hood is open", "shut the infeed hood when nobody reaches in")
AIR: Final = _need("air", "B61", True,
    "the air pressure is low", "restore the air supply when you know why the air is low or shut off and nobody is under the head")
OIL: Final = _need("oil", "B62", True,
    "the oil level is low", "top up the oil")
BAR: Final = _need("bar", "B53", True,
    "there is no bar at the shuttle vise", "load a bar")
COOLANT: Final = _need("coolant", "B63", True,
    "the coolant is low", "fill up the coolant, or choose coolant off where the metal needs none")
STILL: Final = _need("standstill", "B1", False,
    "the band still turns", "wait until the band has stopped")
ISOLATOR: Final = _need("isolator", "Q0", True,
    "the isolator is off, or no voltage comes from it", "switch the isolator on when you know why it was off and nobody is at the saw")
STOP_OUT: Final = _need("emergency-stop", "S1", True,
    "the emergency stop at the console is pressed in",
    "turn the emergency stop out when the reason for it is gone and nobody is in the saw")
INFEED_STOP_OUT: Final = _need("infeed-stop", "S9", True,
    "the emergency stop at the infeed is pressed in",
    "turn the emergency stop out when the reason for it is gone and nobody is in the saw")
TRIP_LINE_HOME: Final = _need("trip-line", "S2", True,
    "the trip line is pulled", "set the trip line back when the reason for it is gone")
RESET_DONE: Final = _need("safety-relay", "supply", ("OFF", "ON", "DEAD"),
    "the safety circuit is open", "press reset")
RELAY_IN: Final = _need("relay-in", "K0", True,
    "the safety relay has not pulled in",
    "press reset; if it stays out, read the lamps of the safety relay in the cabinet")
PRODUCTION: Final = _need("production", "mode", "PRODUCTION",
    "the saw is not in PRODUCTION", "turn the mode switch to PRODUCTION")
NOT_MAINTENANCE: Final = _need("not-maintenance", "mode", ("MANUAL", "PRODUCTION", "NONE"),
    "the saw is in MAINTENANCE", "turn the mode switch away from MAINTENANCE")
ENABLED: Final = _need("enabled", "S7", True,
    "the enabling device is not held in its middle position", "hold the enabling device")
# fmt: on

_POWER_COMES: Final = row(
    "need.power.comes", "{first}, press reset, then switch control on", first=part()
)
_RESET_FIRST: Final = plain("need.power.reset-first", "press reset, then switch control on")
_RELAY_FIRST: Final = plain(
    "need.power.relay-first",
    "press reset, and if the safety relay stays out find why; then switch control on",
)
NOTHING_DRIVEN: Final = plain(
    "need.power.nothing-driven", "nothing is driven, so there is nothing to stop"
)
_BEFORE_POWER: Final = (ISOLATOR, STOP_OUT, INFEED_STOP_OUT)


def power_comes(image: Image) -> Message:
    """Return what brings control power back, the nearest cause first, a clause."""
    first = next((need for need in _BEFORE_POWER if not need.holds(image)), None)
    if first is not None:
        return _POWER_COMES(first=first.to_do)
    if image["supply"] == "OFF" and not RELAY_IN.holds(image):
        return _RELAY_FIRST
    if RESET_DONE.holds(image):
        return POWER.to_do
    return _RESET_FIRST if TRIP_LINE_HOME.holds(image) else _POWER_COMES(first=TRIP_LINE_HOME.to_do)


_MOVES: Final = row("need.one-axis.refused", "{part} moves", part=part())
_LET_GO: Final = row("need.one-axis.remedy", "let {part} come to rest first", part=part())


def at_rest(machine: str, moving: tuple[str, ...], states: tuple[str, ...]) -> Need:
    """Return the need for a part not to move."""
    the = THE[machine]
    rest = tuple(state for state in states if state not in moving)
    return Need(machine, rest, _MOVES(part=the), _LET_GO(part=the))
