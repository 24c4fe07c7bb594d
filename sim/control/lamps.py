"""The lamps of the desk: what lights each, and its colour, shape and word.

Colours have the meanings of IEC 60073 (yellow abnormal, green normal), never colour alone.

Never here: drawing one.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.control.interlocks import THE_ROWS, Image, Rows, When
from sim.words.message import Message, plain


@dataclass(frozen=True, slots=True)
class Lamp:
    """One lamp."""

    name: str
    word: Message
    colour: str
    shape: str
    mark: str  # the picture on it
    lit: Callable[[Image, Rows], bool]


_AT_REST: Final = ("STOPPED", "IDLE", "ABORTED")  # a job that is none, or that was broken off


def _ready(image: Image, rows: Rows) -> bool:
    """Whether no job is under way or done, and nothing on the machine blocks the start of one."""
    return image["job"] in _AT_REST and not any(
        row.stands(image) for row in rows.needs_of("job.start", When.KEY)
    )


def _abnormal(name: str, mark: str, subject: str, value: object) -> Lamp:
    return Lamp(
        name, _word(name), "yellow", "triangle", mark, lambda image, _rows: image[subject] == value
    )


def _word(name: str) -> Message:
    return plain(f"lamp.{name}", _WORDS.get(name, name.replace("-", " ")))


# One switch on the tension washers sees both: a band that has parted pulls no more than a slack one.
_WORDS: Final = {"band-broken": "band broken or slack"}


LAMPS: Final = (
    Lamp("ready", _word("ready"), "green", "circle", "disc", _ready),
    _abnormal("band-fault", "triangle", "band", "TRIPPED"),
    _abnormal("band-broken", "band_broken", "B51", False),
    _abnormal("trip-line", "line", "latch.trip_line", True),
    _abnormal("deviation", "diamond", "latch.deviation", True),
    _abnormal("overload", "square", "F1", False),
    _abnormal("bar-end", "bar_end", "B53", False),
    _abnormal("air-low", "hexagon", "B61", False),
    _abnormal("oil-low", "drop", "B62", False),
    _abnormal("coolant-low", "waves", "B63", False),
)


def lit(image: Image, rows: Rows = THE_ROWS) -> tuple[Lamp, ...]:
    """Return the lamps that are lit; none without control power.

    Args:
        image: What the controller sees.
        rows: Its interlock rows.
    """
    if image["supply"] != "ON":
        return ()
    return tuple(lamp for lamp in LAMPS if lamp.lit(image, rows))
