"""Signs of hydraulics in the manner of ISO 1219-1, as rows of strokes that one painter draws.

A sign stands on a vertical line: its upper port is at (0, 0), its lower one at (0, high), in ems.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from math import hypot
from typing import Final, Literal

import pygame

from sim.view.kit.palette import Colour
from sim.view.kit.pen import Pen, Point

_DASH_EMS: Final = 0.22


@dataclass(frozen=True, slots=True)
class Contour:
    """One stroke: a line through points, dashed or not, a closed line, a filled shape, or a ring."""

    kind: Literal["line", "dashed", "closed", "filled", "ring"]
    points: tuple[Point, ...]  # of a ring its centre, and (radius, 0)


@dataclass(frozen=True, slots=True)
class Sign:
    """One sign."""

    high: float
    strokes: tuple[Contour, ...]


def _line(*points: Point) -> Contour:
    return Contour("line", points)


def _dashed(*points: Point) -> Contour:
    return Contour("dashed", points)


def _closed(*points: Point) -> Contour:
    return Contour("closed", points)


def _filled(*points: Point) -> Contour:
    return Contour("filled", points)


def _ring(x: float, y: float, radius: float) -> Contour:
    return Contour("ring", ((x, y), (radius, 0.0)))


def _box(left: float, top: float, right: float, low: float) -> Contour:
    return _closed((left, top), (right, top), (right, low), (left, low))


def _tip(x: float, y: float, up: float) -> Contour:
    """Return an arrowhead at a place; `up` is 1 when it points up, -1 down."""
    return _filled((x, y), (x - 0.16, y + 0.36 * up), (x + 0.16, y + 0.36 * up))


def _spring(x: float, y: float) -> Contour:
    """Return a spring to the right of a place."""
    return _line(*((x + 0.17 * n, y + (0.18 if n % 2 else -0.18)) for n in range(6)))


def _adjusts(left: float, low: float, right: float, top: float) -> tuple[Contour, ...]:
    """Return the slanting arrow over what can be set by hand."""
    return _line((left, low), (right, top)), _filled(
        (right, top), (right - 0.34, top + 0.1), (right - 0.1, top + 0.34)
    )


_CHECK: Final = (
    _line((0.0, 0.0), (0.0, 0.2)), _ring(0.0, 0.46, 0.26), _line((-0.42, 0.36), (0.0, 0.86), (0.42, 0.36)),
    _line((0.0, 0.86), (0.0, 1.2)),
)  # fmt: skip
_PRESSURE_BOX: Final = (
    _box(-0.6, 0.15, 0.6, 1.35), _line((0.0, 0.0), (0.0, 0.15)), _line((0.0, 1.35), (0.0, 1.5)),
    _spring(0.6, 0.75), *_adjusts(0.5, 1.35, 1.6, 0.15),
)  # fmt: skip

SIGNS: Final[dict[str, Sign]] = {
    "check valve": Sign(1.2, _CHECK),
    # The line at the right opens it: its own lower port is at (1, high).
    "pilot check valve": Sign(1.2, (*_CHECK, _dashed((0.3, 0.72), (1.0, 0.72)))),
    "pressure reducer": Sign(1.5, (
        *_PRESSURE_BOX, _line((0.0, 0.15), (0.0, 1.35)), _tip(0.0, 0.2, 1.0),
        _dashed((0.0, -0.2), (-0.9, -0.2), (-0.9, 0.75), (-0.6, 0.75)),
    )),
    "relief": Sign(1.5, (
        *_PRESSURE_BOX, _line((-0.25, 0.15), (-0.25, 1.35)), _tip(-0.25, 1.3, -1.0),
        _dashed((0.0, -0.1), (-0.9, -0.1), (-0.9, 0.75), (-0.6, 0.75)),
    )),
    "throttle": Sign(1.2, (
        _line((0.0, 0.0), (0.0, 1.2)), _line((-0.42, 0.2), (-0.16, 0.5), (-0.16, 0.7), (-0.42, 1.0)),
        _line((0.42, 0.2), (0.16, 0.5), (0.16, 0.7), (0.42, 1.0)), *_adjusts(-0.6, 1.1, 0.65, 0.1),
    )),
    "filter": Sign(1.3, (
        _line((0.0, 0.0), (0.0, 0.1)), _line((0.0, 1.2), (0.0, 1.3)),
        _closed((0.0, 0.1), (0.55, 0.65), (0.0, 1.2), (-0.55, 0.65)), _dashed((-0.55, 0.65), (0.55, 0.65)),
    )),
    "pump": Sign(1.8, (
        _ring(0.0, 0.9, 0.9), _filled((0.0, 0.0), (-0.35, 0.5), (0.35, 0.5)),
        _line((-0.9, 0.82), (-1.5, 0.82)), _line((-0.9, 0.98), (-1.5, 0.98)), _ring(-2.3, 0.9, 0.8),
    )),
    "tank": Sign(0.7, (_line((-1.4, 0.0), (-1.4, 0.7), (1.4, 0.7), (1.4, 0.0)),)),
    "gauge": Sign(1.4, (
        _ring(0.0, 0.7, 0.7), _line((-0.4, 1.1), (0.4, 0.3)), _filled((0.45, 0.25), (0.05, 0.4), (0.3, 0.65)),
    )),
    "air over oil": Sign(2.4, (
        _line((-0.8, 0.5), (-0.8, 1.9), (-0.55, 2.25), (0.0, 2.4), (0.55, 2.25), (0.8, 1.9), (0.8, 0.5),
              (0.55, 0.15), (0.0, 0.0), (-0.55, 0.15), (-0.8, 0.5)),
        _line((-0.8, 1.2), (0.8, 1.2)), _closed((0.0, 0.95), (-0.3, 0.45), (0.3, 0.45)),
    )),
    "spring": Sign(0.0, (_spring(0.0, 0.0),)),
    "cock": Sign(1.0, (
        _line((0.0, 0.0), (0.0, 0.1)), _line((0.0, 0.9), (0.0, 1.0)),
        _closed((-0.35, 0.1), (0.35, 0.1), (-0.35, 0.9), (0.35, 0.9)),
    )),
}  # fmt: skip
"""By name; of pump, check and pressure valve the ports are at (0, 0) and (0, high)."""

# What stands in the box of a way of a valve, which is 1.6 wide and high.
BOX: Final = 1.6
WAYS: Final[dict[str, tuple[Contour, ...]]] = {
    "shut": (
        _line((0.8, 0.0), (0.8, 0.45)), _line((0.55, 0.45), (1.05, 0.45)),
        _line((0.8, 1.6), (0.8, 1.15)), _line((0.55, 1.15), (1.05, 1.15)),
    ),
    "creep": (
        _line((0.8, 0.0), (0.8, 1.6)), _line((0.4, 0.35), (0.65, 0.65), (0.65, 0.95), (0.4, 1.25)),
        _line((1.2, 0.35), (0.95, 0.65), (0.95, 0.95), (1.2, 1.25)),
    ),
    "up": (_line((0.8, 0.0), (0.8, 1.6)), _tip(0.8, 0.05, 1.0)),
    "down": (_line((0.8, 0.0), (0.8, 1.6)), _tip(0.8, 1.55, -1.0)),
    "all shut": tuple(
        stroke
        for x in (0.3, 1.3)
        for stroke in (
            _line((x, 0.0), (x, 0.4)), _line((x - 0.18, 0.4), (x + 0.18, 0.4)),
            _line((x, 1.6), (x, 1.2)), _line((x - 0.18, 1.2), (x + 0.18, 1.2)),
        )
    ),
    "straight": (
        _line((0.3, 0.0), (0.3, 1.6)), _tip(0.3, 0.05, 1.0), _line((1.3, 0.0), (1.3, 1.6)),
        _tip(1.3, 1.55, -1.0),
    ),
    "crossed": (
        _line((0.3, 1.6), (1.3, 0.0)), _filled((1.3, 0.0), (1.24, 0.4), (0.96, 0.22)),
        _line((0.3, 0.0), (1.3, 1.6)), _filled((1.3, 1.6), (1.24, 1.2), (0.96, 1.38)),
    ),
}  # fmt: skip


def paint_strokes(
    pen: Pen, strokes: tuple[Contour, ...], origin: Point, colour: Colour, width: int = 1
) -> None:
    """Draw strokes from an origin on the screen, px."""
    for stroke in strokes:
        points = [
            (origin[0] + x * pen.letters.em, origin[1] + y * pen.letters.em)
            for x, y in stroke.points
        ]
        if stroke.kind == "ring":
            radius = stroke.points[1][0] * pen.letters.em
            pen.ring(points[0], radius, colour, max(width, 1))
        elif stroke.kind == "filled":
            pen.shape(points, colour)
        elif stroke.kind == "dashed":
            for start, end in _dashes(points, pen.px(_DASH_EMS)):
                pen.line(start, end, colour)
        else:
            ends = [*points, points[0]] if stroke.kind == "closed" else points
            for start, end in pairwise(ends):
                _straight(pen, start, end, colour, width)


def _straight(pen: Pen, start: Point, end: Point, colour: Colour, width: int) -> None:
    if width <= 1:
        pygame.draw.aaline(pen.surface, colour, start, end)
    else:
        pen.line(start, end, colour, width)


def _dashes(points: list[Point], long: float) -> Iterator[tuple[Point, Point]]:
    for start, end in pairwise(points):
        far = hypot(end[0] - start[0], end[1] - start[1])
        steps = max(round(far / long), 1)
        for step in range(0, steps, 2):
            a, b = step / steps, min(step + 1, steps) / steps
            yield (
                (start[0] + (end[0] - start[0]) * a, start[1] + (end[1] - start[1]) * a),
                (start[0] + (end[0] - start[0]) * b, start[1] + (end[1] - start[1]) * b),
            )
