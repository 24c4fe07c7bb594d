"""The shape of one row of the set-point table."""

from collections.abc import Callable
from dataclasses import dataclass

from sim.plant.plant import Plant

Setting = float | str


@dataclass(frozen=True, slots=True)
class SetPoint:
    """One thing that can be set by hand: a number within limits, or one of some words."""

    name: str
    title: str
    place: str  # station
    read: Callable[[Plant], Setting]
    write: Callable[[Plant, Setting], None]
    unit: str = ""
    low: float = 0.0
    high: float = 0.0
    step: float = 1.0
    words: tuple[str, ...] = ()
    blocked: Callable[[Plant], str] = lambda _plant: ""  # why it cannot be set now, or empty


def number(setting: Setting) -> float:
    """Return a setting as a number; the table's limits have been held to it before."""
    return float(setting)


def still(plant: Plant) -> str:
    """Return why something at the band cannot be touched, empty when the band stands."""
    return "The band turns. Stop it and wait until it stands." if plant.band.turning else ""
