"""The desk as a table: seven stations and the JOB strip, their keys, words, symbols and letters.

The colours of keys follow IEC 60204-1: starts white, stops black, reset blue, emergency stop red,
keys that move things while held grey.
"""

from dataclasses import dataclass
from typing import Final

from sim.words.message import Message, plain


@dataclass(frozen=True, slots=True)
class Cap:
    """One key of the desk."""

    key: str  # as the session knows it
    words: Message
    mark: str
    letter: str  # on the keyboard
    style: str  # start, stop, move, reset, emergency, latch
    wide: bool


@dataclass(frozen=True, slots=True)
class Station:
    """One station: its keys in pairs."""

    name: str
    title: Message
    caps: tuple[Cap, ...]
    mode_letter: str  # turns HAND and AUTO over; empty when there is no selector


def _cap(
    key: str, words: str, mark: str, letter: str, style: str = "move", *, wide: bool = False
) -> Cap:
    return Cap(key, _written(key, words), mark, letter, style, wide)


def _station(name: str, title: str, caps: tuple[Cap, ...], mode_letter: str = "") -> Station:
    return Station(name, _written(name, title), caps, mode_letter)


def _written(name: str, words: str) -> Message:
    return plain(f"desk.{name.replace('_', '-')}", words)


EMERGENCY: Final = _cap("supply.emergency_stop", "EMERGENCY STOP", "octagon", "0", "emergency")

# fmt: off
STATIONS: Final = (
    _station("supply", "SUPPLY", (
        _cap("supply.isolator", "isolator", "power", "1", "latch"),
        _cap("supply.control_on", "control on", "", "2", "start"),
        _cap("supply.reset", "reset", "", "3", "reset"),
        _cap("supply.drive_stop", "drive stop", "", "4", "stop"),
        _cap("supply.two_hand", "two-hand key", "hand", "space", wide=True),
    )),
    _station("band", "BAND", (
        _cap("band.start", "start", "start", "q", "start"),
        _cap("band.stop", "stop", "stop", "a", "stop"),
        _cap("band.slower", "slower", "", "s"),
        _cap("band.faster", "faster", "", "w"),
    ), "z"),
    _station("cutting_vise", "CUTTING VISE", (
        _cap("cutting_vise.grip", "grip", "grip", "e"),
        _cap("cutting_vise.free", "free", "free", "d"),
    ), "c"),
    _station("shuttle_vise", "SHUTTLE VISE", (
        _cap("shuttle_vise.grip", "grip", "grip", "r"),
        _cap("shuttle_vise.free", "free", "free", "f"),
    ), "v"),
    _station("shuttle", "SHUTTLE", (
        _cap("shuttle.to_stop", "to stop", "left", "t"),
        _cap("shuttle.to_blade", "to blade", "right", "g"),
    ), "b"),
    _station("head", "HEAD", (
        _cap("head.lift", "lift", "up", "y"),
        _cap("head.lower", "lower", "down", "h"),
    ), "n"),
    _station("coolant", "COOLANT", (
        _cap("coolant.flow", "flow", "drop", "u"),
        _cap("coolant.dry", "dry", "dry", "j"),
    ), "m"),
)

JOB: Final = _station("job", "JOB", (
    _cap("job.arm", "arm", "", "i"),
    _cap("job.begin_on_trim", "begin on trim", "start", "o", "start"),
    _cap("job.begin_on_piece", "begin on piece", "start", "l", "start"),
    _cap("job.hold", "hold", "pause", "k", "stop"),
))
# fmt: on

CAPS: Final = {cap.key: cap for station in (*STATIONS, JOB) for cap in (*station.caps, EMERGENCY)}
BY_LETTER: Final = {cap.letter: cap.key for cap in CAPS.values()}
MODE_LETTERS: Final = {row.mode_letter: row.name for row in STATIONS if row.mode_letter}
TITLES: Final = {station.name: station.title for station in (*STATIONS, JOB)}
