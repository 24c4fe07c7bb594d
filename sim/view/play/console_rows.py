"""The console as a table: every key with its words, its symbol, its letter and its colour.

The colours of keys follow IEC 60204-1: starts white, stops black, reset blue, emergency stops red on
yellow, keys that move a part grey. The letters lie on the keyboard as the parts lie along the bar;
the two palm keys are as far apart as letters are.
"""

from dataclasses import dataclass
from typing import Final

from sim.words.message import Message, plain


@dataclass(frozen=True, slots=True)
class Cap:
    """One key of the console."""

    key: str  # as the session knows it
    words: Message
    mark: str
    letter: str  # on the keyboard
    style: str  # start, stop, move, choice, reset, emergency, latch, palm, mode


@dataclass(frozen=True, slots=True)
class Panel:
    """What the keys belong to: a part of the saw, its supply, its mode or its job."""

    name: str
    title: Message
    caps: tuple[Cap, ...]


def _cap(key: str, words: str, letter: str, mark: str = "", style: str = "move") -> Cap:
    return Cap(key, _written(key, words), mark, letter, style)


def _part(name: str, title: str, *caps: Cap) -> Panel:
    return Panel(name, _written(f"part.{name}", title), caps)


def _written(name: str, words: str) -> Message:
    return plain(f"console.{name.replace('_', '-')}", words)


EMERGENCY: Final = _cap("supply.emergency_stop", "EMERGENCY STOP", "f12", "octagon", "emergency")

# fmt: off
PARTS: Final = (
    _part("mode", "MODE",
        _cap("mode.manual", "MANUAL", "7", style="mode"),
        _cap("mode.maintenance", "MAINTENANCE", "8", style="mode"),
        _cap("mode.production", "PRODUCTION", "9", style="mode"),
    ),
    _part("enable", "ENABLING DEVICE", _cap("enable", "middle", "c", style="palm")),
    _part("palm", "PALM KEYS",
        _cap("palm.left", "left palm", "x", "hand", "palm"),
        _cap("palm.right", "right palm", "p", "hand", "palm"),
    ),
    _part("supply", "SUPPLY",
        _cap("supply.isolator", "isolator", "1", "power", "latch"),
        _cap("supply.reset", "reset", "2", style="reset"),
        _cap("supply.control_on", "control on", "3", style="start"),
        _cap("supply.infeed_stop", "infeed stop", "5", "octagon", "emergency"),
        _cap("supply.trip_line", "trip line", "4", "line", "stop"),
    ),
    _part("shuttle_vise", "SHUTTLE VISE",
        _cap("shuttle_vise.clamp", "clamp", "e", "clamp"),
        _cap("shuttle_vise.release", "release", "d", "release"),
    ),
    _part("shuttle", "SHUTTLE",
        _cap("shuttle.back", "back", "r", "left"),
        _cap("shuttle.forward", "forward", "f", "right"),
    ),
    _part("cutting_vise", "CUTTING VISE",
        _cap("cutting_vise.clamp", "clamp", "t", "clamp"),
        _cap("cutting_vise.release", "release", "g", "release"),
    ),
    _part("head", "HEAD",
        _cap("head.raise", "raise", "y", "up"),
        _cap("head.lower", "lower", "h", "down"),
    ),
    _part("band", "BAND",
        _cap("band.run", "run", "q", "start", "start"),
        _cap("band.stop", "stop", "a", "stop", "stop"),
        _cap("band.slower", "slower", "s", "slower"),
        _cap("band.faster", "faster", "w", "faster"),
    ),
    _part("coolant", "COOLANT",
        _cap("coolant.off", "off", "u", "dry", "choice"),
        _cap("coolant.with_band", "with band", "j", style="choice"),
        _cap("coolant.on", "on", "m", "drop", "choice"),
    ),
    _part("job", "JOB",
        _cap("job.clear", "clear", "6"),
        _cap("job.reset", "reset", "i"),
        _cap("job.start", "start", "o", "start", "start"),
        _cap("job.hold", "hold", "k", "pause"),
        _cap("job.unhold", "unhold", "l", "start", "start"),
        _cap("job.complete", "complete", "n", "tick"),
        _cap("job.stop", "stop", "b", "stop", "stop"),
        _cap("job.new", "new job", "0"),
        _cap("job.square", "square end", "z", style="choice"),
        _cap("job.straight", "piece", "-", style="choice"),
    ),
)
# fmt: on

CAPS: Final = {cap.key: cap for part in PARTS for cap in (*part.caps, EMERGENCY)}
BY_LETTER: Final = {cap.letter: cap.key for cap in CAPS.values()}
TITLES: Final = {part.name: part.title for part in PARTS}
PRESS_THROUGH: Final = "v"
"""The letter that presses the enabling device through, past its middle position."""

STOPS: Final = (
    EMERGENCY.key, "supply.infeed_stop", "supply.trip_line", "band.stop", "job.stop",
)  # fmt: skip
"""The keys that act on every sheet, and with any field in focus."""


def letter_of(cap: Cap) -> str:
    """Return a key's letter as it stands on the key."""
    return cap.letter.upper()


def stop_at(name: str, *, with_ctrl: bool) -> str:
    """Return the stop that a key of the keyboard is, whatever has the focus; empty when it is none.

    A letter counts with Ctrl held, so that it can be told from typing; a function key counts alone.

    Args:
        name: The key's name.
        with_ctrl: Whether Ctrl is held with it.
    """
    key = BY_LETTER.get(name, "")
    return key if key in STOPS and (with_ctrl or len(name) > 1) else ""
