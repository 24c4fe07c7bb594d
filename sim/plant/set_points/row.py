"""The shape of one row of the set-point table.

A row's messages have the keys `set-point.NAME.title` and `set-point.NAME.setting`, with the row's own
name in them, so that a word such as `open` agrees with the thing that is open.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.plant.machine import Machine
from sim.plant.plant import Plant
from sim.words.fields import Quantity, one_of
from sim.words.message import NOTHING, Message, Row, plain, row

Setting = float | str
Read = Callable[[Plant], Setting]
Write = Callable[[Plant, Setting], None]
Blocked = Callable[[Plant], Message]
Locked = Callable[[Plant, Setting], Message]
Limits = Callable[[Machine], tuple[float, float]]
Fitted = Callable[[Machine], bool]


def _unlocked(_plant: Plant, _setting: Setting) -> Message:
    return NOTHING


def _on_every_saw(_machine: Machine) -> bool:
    return True


@dataclass(frozen=True, slots=True)
class SetPoint:
    """One thing that can be set by hand: a number within limits, or one of some words."""

    name: str
    title: Message
    place: str  # station
    read: Read
    write: Write
    said: Row  # tells a setting
    unit: str  # of numbers, in which they are typed and kept
    limits: Limits  # lowest and highest on a machine, in that unit
    step: float
    words: tuple[str, ...]
    blocked: Blocked  # why it cannot be set now, or nothing
    locked: Locked = _unlocked  # what the metal holds against one setting
    scale: bool = True  # a gauge or a scale shows the number to whoever stands there
    fitted: Fitted = _on_every_saw
    untold: Setting | None = None  # as on a saw left alone, and so no part of its state

    def told(self, setting: Setting) -> Message:
        """Return a setting as a message: a number with its unit, or the word."""
        field = self.said.fields["setting"]
        return self.said(
            setting=float(setting) * field.si if isinstance(field, Quantity) else setting
        )


def bare(unit: str) -> Quantity:
    """Return a quantity in a unit that is the same for every reader, none at all if it is empty."""
    return Quantity(unit, 1.0, None)


def _free(_plant: Plant) -> Message:
    return NOTHING


def _rounded(limits: Limits) -> Limits:
    """Return limits without what the way to SI and back leaves behind the sixth place."""

    def rounded(machine: Machine) -> tuple[float, float]:
        low, high = limits(machine)
        return round(low, 6), round(high, 6)

    return rounded


def between(low: float, high: float) -> Limits:
    """Return limits that are the same on every machine: those of the thing itself."""
    return lambda _machine: (low, high)


def measure(
    name: str, title: str, place: str, read: Read, write: Write,
    of: tuple[Quantity, Limits, float], blocked: Blocked = _free, scale: bool = True,
) -> SetPoint:  # fmt: skip
    """Return the row of a number.

    Args:
        name: Of the row, as scenario files have it.
        title: A noun phrase.
        place: The station.
        read: Returns the setting in the unit of shop drawings.
        write: Sets it.
        of: What is measured, its limits on a machine, and the step, all in its unit.
        blocked: Returns why it cannot be set now.
        scale: A gauge or a scale shows the number to whoever stands there.
    """
    kind, limits, step = of
    key = _key(name)
    return SetPoint(
        name, plain(f"{key}.title", title), place, read, write,
        row(f"{key}.setting", "{setting}", setting=kind), kind.unit, _rounded(limits), step, (), blocked,
        scale=scale,
    )  # fmt: skip


def choice(
    name: str, title: str, place: str, read: Read, write: Write,
    words: tuple[str, ...], blocked: Blocked = _free, locked: Locked = _unlocked,
) -> SetPoint:  # fmt: skip
    """Return the row of a thing that stands in one of some positions, each with its word."""
    key = _key(name)
    return SetPoint(
        name, plain(f"{key}.title", title), place, read, write,
        row(f"{key}.setting", "{setting}", setting=one_of(*words)), "", between(0.0, 0.0), 1.0, words, blocked, locked,
    )  # fmt: skip


def _key(name: str) -> str:
    return f"set-point.{name.replace('_', '-')}"


def number(setting: Setting) -> float:
    """Return a setting as a number; the table's limits have been held to it before."""
    return float(setting)


_BAND_TURNS: Final = plain(
    "set-point.band-turns", "The band turns. Stop it and wait until it stands."
)


def still(plant: Plant) -> Message:
    """Return why something at the band cannot be touched; nothing when the band stands."""
    return _BAND_TURNS if plant.band.turning else NOTHING
