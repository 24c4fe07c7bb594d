"""The lamps of the desk: what lights each, and its colour, shape and word.

Colours have the meanings of IEC 60073 (yellow abnormal, green normal), never colour alone.

Never here: drawing one.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.control.interlocks import Image, When, needs_of
from sim.words.message import Message, plain


@dataclass(frozen=True, slots=True)
class Lamp:
    """One lamp."""

    name: str
    word: Message
    colour: str
    shape: str
    lit: Callable[[Image], bool]


def _ready(image: Image) -> bool:
    """Whether nothing on the machine stands against the start of a job."""
    return all(row.need.holds(image) for row in needs_of("job.begin_on_trim", When.HAND))


def _when(subject: str, value: object) -> Callable[[Image], bool]:
    return lambda image: image[subject] == value


def _lamp(name: str, colour: str, shape: str, lit: Callable[[Image], bool]) -> Lamp:
    return Lamp(name, plain(f"lamp.{name}", name.replace("-", " ")), colour, shape, lit)


LAMPS: Final = (
    _lamp("ready", "green", "circle", _ready),
    _lamp("band-fault", "yellow", "triangle", _when("band", "TRIPPED")),
    _lamp("deviation", "yellow", "triangle", _when("latch.deviation", True)),
    _lamp("overload", "yellow", "triangle", _when("F1", False)),
    _lamp("bar-end", "yellow", "triangle", _when("B53", False)),
    _lamp("air-low", "yellow", "triangle", _when("B61", False)),
    _lamp("oil-low", "yellow", "triangle", _when("B62", False)),
    _lamp("coolant-low", "yellow", "triangle", _when("B63", False)),
)


def lit(image: Image) -> tuple[Lamp, ...]:
    """Return the lamps that are lit; none without control power."""
    if image["supply"] != "ON":
        return ()
    return tuple(lamp for lamp in LAMPS if lamp.lit(image))
