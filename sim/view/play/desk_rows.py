"""The desk as a table: seven stations and the JOB strip, their keys, words, symbols and letters.

The colours of keys follow IEC 60204-1: starts white, stops black, reset blue, emergency stop red,
keys that move things while held grey.
"""

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Cap:
    """One key of the desk."""

    key: str  # as the session knows it
    words: str
    mark: str
    letter: str  # on the keyboard
    style: str = "move"  # start, stop, move, reset, emergency, latch
    wide: bool = False


@dataclass(frozen=True, slots=True)
class Station:
    """One station: its keys in pairs."""

    name: str
    title: str
    caps: tuple[Cap, ...]
    mode_letter: str = ""  # turns HAND and AUTO over; empty when there is no selector


EMERGENCY: Final = Cap("supply.emergency_stop", "EMERGENCY STOP", "octagon", "0", "emergency")

# fmt: off
STATIONS: Final = (
    Station("supply", "SUPPLY", (
        Cap("supply.isolator", "isolator", "power", "1", "latch"),
        Cap("supply.control_on", "control on", "", "2", "start"),
        Cap("supply.reset", "reset", "", "3", "reset"),
        Cap("supply.drive_stop", "drive stop", "", "4", "stop"),
        Cap("supply.two_hand", "two-hand key", "hand", "space", "move", wide=True),
    )),
    Station("band", "BAND", (
        Cap("band.start", "start", "start", "q", "start"),
        Cap("band.stop", "stop", "stop", "a", "stop"),
        Cap("band.slower", "slower", "", "s"),
        Cap("band.faster", "faster", "", "w"),
    ), "z"),
    Station("cutting_vise", "CUTTING VISE", (
        Cap("cutting_vise.grip", "grip", "grip", "e"),
        Cap("cutting_vise.free", "free", "free", "d"),
    ), "c"),
    Station("shuttle_vise", "SHUTTLE VISE", (
        Cap("shuttle_vise.grip", "grip", "grip", "r"),
        Cap("shuttle_vise.free", "free", "free", "f"),
    ), "v"),
    Station("shuttle", "SHUTTLE", (
        Cap("shuttle.to_stop", "to stop", "left", "t"),
        Cap("shuttle.to_blade", "to blade", "right", "g"),
    ), "b"),
    Station("head", "HEAD", (
        Cap("head.lift", "lift", "up", "y"),
        Cap("head.lower", "lower", "down", "h"),
    ), "n"),
    Station("coolant", "COOLANT", (
        Cap("coolant.flow", "flow", "drop", "u"),
        Cap("coolant.dry", "dry", "dry", "j"),
    ), "m"),
)

JOB: Final = Station("job", "JOB", (
    Cap("job.arm", "arm", "", "i"),
    Cap("job.begin_on_trim", "begin on trim", "start", "o", "start"),
    Cap("job.begin_on_piece", "begin on piece", "start", "l", "start"),
    Cap("job.hold", "hold", "pause", "k", "stop"),
))
# fmt: on

CAPS: Final = {cap.key: cap for station in (*STATIONS, JOB) for cap in (*station.caps, EMERGENCY)}
BY_LETTER: Final = {cap.letter: cap.key for cap in CAPS.values()}
MODE_LETTERS: Final = {row.mode_letter: row.name for row in STATIONS if row.mode_letter}
TITLES: Final = {station.name: station.title for station in (*STATIONS, JOB)}
