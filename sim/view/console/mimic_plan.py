"""Where everything is on the mimic: a plan of the saw that is not to scale, so that its keys have room.

x runs along the bar, in ems of a mimic of plain width; the rows run from the rear to the front. The
bar lies in the middle row, the strip, in which all that moves is drawn.
"""

from dataclasses import dataclass
from typing import Final

from pygame import Rect

from sim.view.console.keys import key_row
from sim.view.kit.pen import Kit

# Rows from the rear to the front: keys, a line of text, or the strip.
_ROWS: Final = (
    ("rear", "key"), ("rear_text", "text"), ("rear_near", "key"), ("strip", "strip"),
    ("front_near", "key"), ("front", "key"), ("front_text", "text"),
)  # fmt: skip
_STRIP_EMS: Final = 2.0

WIDE: Final = 61.0  # of the whole plan
BAND_X: Final = 35.6
JAW_X: Final = (26.4, 34.6)  # of the cutting vise
CARRIAGE: Final = 3.4  # length of the shuttle as drawn
FORWARD_X, BACK_X = (
    25.0,
    9.4,
)  # the shuttle: its front edge farthest forward, its rear edge farthest back

Place = tuple[float, float, str]  # from, to, row

KEYS: Final[dict[str, Place]] = {
    "supply.isolator": (0.4, 7.2, "rear"),
    "supply.reset": (7.4, 12.3, "rear"),
    "supply.control_on": (12.5, 18.6, "rear"),
    "supply.infeed_stop": (0.0, 8.8, "rear_near"),
    "supply.trip_line": (0.0, 8.8, "front_near"),
    "shuttle_vise.clamp": (9.4, 17.1, "rear_near"),
    "shuttle_vise.release": (17.3, 25.0, "rear_near"),
    "shuttle.back": (9.4, 17.1, "front_near"),
    "shuttle.forward": (17.3, 25.0, "front_near"),
    "cutting_vise.clamp": (26.4, 34.6, "front_near"),
    "cutting_vise.release": (26.4, 34.6, "front"),
    "head.raise": (36.8, 43.2, "rear"),
    "head.lower": (36.8, 43.2, "rear_near"),
    "band.run": (36.8, 43.2, "front_near"),
    "band.stop": (43.4, 49.8, "front_near"),
    "band.slower": (36.8, 43.2, "front"),
    "band.faster": (43.4, 49.8, "front"),
    "coolant.off": (45.0, 48.8, "rear"),
    "coolant.with_band": (49.0, 55.4, "rear"),
    "coolant.on": (55.6, 60.8, "rear"),
}
STATES: Final[dict[str, Place]] = {
    "supply": (0.2, 9.2, "rear_text"),
    "shuttle_vise": (9.4, 25.0, "rear_text"),
    "head": (36.8, 45.8, "rear_text"),
    "coolant": (50.2, 61.0, "rear_text"),
    "shuttle": (9.4, 19.6, "front_text"),
    "band": (36.8, 45.2, "front_text"),
}
GAUGES: Final[dict[str, Place]] = {
    "shuttle_vise": (19.0, 25.0, "rear"),
    "shuttle": (19.8, 25.0, "front_text"),
    "head": (43.6, 49.6, "rear_near"),
    "band": (45.2, 49.6, "front_text"),
    "coolant": (50.4, 60.8, "rear_near"),
}
CUTTING_TITLE: Final[Place] = (26.4, 34.7, "rear_text")
CUTTING_STATE: Final[Place] = (26.5, 34.5, "rear_near")  # its upper half; the pressure in the lower
HEIGHT: Final[Place] = (46.0, 49.6, "rear_text")  # the word over the head's gauge
STROKES: Final[Place] = (9.4, 25.0, "front")
WANTED: Final[Place] = (50.5, 60.8, "front_near")
CUT: Final[Place] = (50.5, 60.8, "front")
LENGTH: Final[Place] = (50.5, 60.8, "front_text")

HALVES: Final = ((0.0, 35.0), (35.0, WIDE))
"""Where the plan is broken when there is no room for all of it side by side."""


@dataclass(frozen=True, slots=True)
class Lay:
    """A stretch of the plan laid into a rectangle."""

    area: Rect
    low: float
    high: float
    tops: dict[str, tuple[int, int]]  # row -> top and height, px

    def at_top(self, top: int) -> "Lay":
        """Return the same lay moved to another top, as a pane that was scrolled shows it."""
        shift = top - self.area.top
        tops = {row: (at + shift, high) for row, (at, high) in self.tops.items()}
        return Lay(self.area.move(0, shift), self.low, self.high, tops)

    def x(self, ems: float) -> int:
        """Return where a place along the bar is, px."""
        share = (ems - self.low) / (self.high - self.low)
        return self.area.left + round(share * self.area.width)

    def holds(self, place: Place) -> bool:
        """Return whether a place is on this stretch."""
        return self.low <= place[0] and place[1] <= self.high

    def rect(self, place: Place) -> Rect:
        """Return the rectangle of a place."""
        top, high = self.tops[place[2]]
        left = self.x(place[0])
        return Rect(left, top, self.x(place[1]) - left, high)


def lay(kit: Kit, left: int, top: int, width: int, stretch: tuple[float, float]) -> Lay:
    """Return a stretch of the plan, laid from a corner over a width."""
    highs = {"key": key_row(kit), "text": kit.letters.line("fine"), "strip": kit.px(_STRIP_EMS)}
    gap = kit.px(0.1)
    tops: dict[str, tuple[int, int]] = {}
    at = top + gap
    for name, kind in _ROWS:
        tops[name] = at, highs[kind]
        at += highs[kind] + gap
    return Lay(Rect(left, top, width, at - top), *stretch, tops)
