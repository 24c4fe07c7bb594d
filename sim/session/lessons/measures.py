"""What the goals of a lesson can measure on the machine, beyond signals, states and settings.

Never here: set points, which have a table of their own.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.saw import Saw
from sim.session.lessons.amounts import Amount
from sim.units import BAR, MM
from sim.words.fields import Quantity, bar, mm
from sim.words.message import Message, plain


@dataclass(frozen=True, slots=True)
class Measure:
    """One thing that a rule or a gauge would show."""

    name: str
    title: Message
    amount: Amount
    read: Callable[[Saw], float]  # in the unit of scenario files


def _measure(name: str, title: str, kind: Quantity, read: Callable[[Saw], float]) -> Measure:
    key = f"measure.{name.replace('_', '-')}"
    return Measure(name, plain(f"{key}.title", title), Amount(key, kind, here_decimals=1), read)


def _kerf_m(saw: Saw) -> float:
    """Return how deep the band is in the bar, or was when it was raised."""
    bar, head = saw.plant.bar, saw.plant.head
    sawn_m = bar.height_m - head.place.position if head.cutting is not None else 0.0
    return max(sawn_m, bar.kerf_depth_m)


_ROWS: Final = (
    _measure(
        "bar.front_mm", "the end of the bar, past the band", mm(),
        lambda saw: saw.plant.bar.front_m / MM,
    ),
    _measure(
        "bar.length_mm", "the bar that is left", mm(),
        lambda saw: saw.plant.bar.length_m / MM,
    ),
    _measure(
        "bar.kerf_mm", "the kerf under the band, its depth", mm(),
        lambda saw: _kerf_m(saw) / MM,
    ),
    _measure(
        "band.off_flange_mm", "the back of the band, off the flange of its wheel", mm(1),
        lambda saw: saw.plant.band.seat.off_flange_m / MM,
    ),
    _measure(
        "band.unseen_mm", "what of the band has not come past yet since it was put on or led", mm(0),
        lambda saw: saw.plant.band.seat.unseen_m / MM,
    ),
    _measure(
        "shuttle.back_mm", "the shuttle, back from the cutting vise", mm(),
        lambda saw: saw.plant.shuttle.place.position / MM,
    ),
    _measure(
        "head.height_mm", "the band above the bed", mm(),
        lambda saw: saw.plant.head.place.position / MM,
    ),
    _measure(
        "head.over_bar_mm", "the band above the top of the bar", mm(),
        lambda saw: (saw.plant.head.place.position - saw.plant.bar.height_m) / MM,
    ),
    _measure(
        "head.over_prop_mm", "the head above its prop", mm(2),
        lambda saw: (saw.plant.head.place.position - saw.plant.site.machine.prop_m) / MM,
    ),
    _measure(
        "cutting_vise.clamping_bar", "the pressure gauge of the cutting vise", bar(),
        lambda saw: saw.plant.cutting_vise.pressure_pa / BAR,
    ),
    _measure(
        "shuttle_vise.clamping_bar", "the pressure gauge of the shuttle vise", bar(),
        lambda saw: saw.plant.shuttle_vise.pressure_pa / BAR,
    ),
)  # fmt: skip

MEASURES: Final = {row.name: row for row in _ROWS}
