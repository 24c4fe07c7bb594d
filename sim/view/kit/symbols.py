"""Symbols as shapes, since the font has none: one small function each, and a table of them by name.

Every symbol fills the square it is given.
"""

from collections.abc import Callable
from itertools import pairwise
from math import cos, pi, sin
from typing import Final

import pygame
from pygame import Rect

from sim.view.kit.palette import Colour
from sim.view.kit.pen import Pen, Point

Draw = Callable[[Pen, Rect, Colour], None]


def _at(rect: Rect, points: list[tuple[float, float]]) -> list[Point]:
    return [(rect.left + x * rect.width, rect.top + y * rect.height) for x, y in points]


def _polygon(*points: tuple[float, float]) -> Draw:
    def draw(pen: Pen, rect: Rect, colour: Colour) -> None:
        pen.shape(_at(rect, list(points)), colour)

    return draw


def _several(*draws: Draw) -> Draw:
    def draw(pen: Pen, rect: Rect, colour: Colour) -> None:
        for each in draws:
            each(pen, rect, colour)

    return draw


def _disc(pen: Pen, rect: Rect, colour: Colour) -> None:
    pen.disc(rect.center, min(rect.size) / 2, colour)


def _ring(pen: Pen, rect: Rect, colour: Colour) -> None:
    pen.ring(rect.center, min(rect.size) / 2 - 1, colour, max(rect.width // 7, 1))


def _regular(corners: int, turn: float = 0.0) -> Draw:
    points = [
        (0.5 + 0.5 * cos(2 * pi * i / corners + turn), 0.5 + 0.5 * sin(2 * pi * i / corners + turn))
        for i in range(corners)
    ]
    return _polygon(*points)


def _stroke(*points: tuple[float, float]) -> Draw:
    def draw(pen: Pen, rect: Rect, colour: Colour) -> None:
        width = max(rect.width // 8, 2)
        placed = _at(rect, list(points))
        for start, end in pairwise(placed):
            pygame.draw.aaline(pen.surface, colour, start, end, width)

    return draw


def _drop(pen: Pen, rect: Rect, colour: Colour) -> None:
    radius = rect.width * 0.32
    pen.disc((rect.centerx, rect.bottom - radius), radius, colour)
    pen.shape(_at(rect, [(0.5, 0.0), (0.22, 0.58), (0.78, 0.58)]), colour)


def _waves(pen: Pen, rect: Rect, colour: Colour) -> None:
    for level in (0.3, 0.6):
        _stroke((0, level), (0.25, level - 0.12), (0.5, level), (0.75, level - 0.12), (1, level))(
            pen, rect, colour
        )


def _gear(pen: Pen, rect: Rect, colour: Colour) -> None:
    points: list[tuple[float, float]] = []
    for tooth in range(8):
        for shift, reach in ((-0.14, 0.36), (-0.09, 0.5), (0.09, 0.5), (0.14, 0.36)):
            angle = 2 * pi * (tooth / 8 + shift / 2)
            points.append((0.5 + reach * cos(angle), 0.5 + reach * sin(angle)))
    pen.shape(_at(rect, points), colour)
    pen.disc(rect.center, rect.width * 0.16, pen.palette.raised)


_UP = _polygon((0.5, 0.05), (0.98, 0.62), (0.66, 0.62), (0.66, 0.95), (0.34, 0.95), (0.34, 0.62),
               (0.02, 0.62))  # fmt: skip
_DOWN = _polygon((0.5, 0.95), (0.98, 0.38), (0.66, 0.38), (0.66, 0.05), (0.34, 0.05), (0.34, 0.38),
                 (0.02, 0.38))  # fmt: skip
_LEFT = _polygon((0.05, 0.5), (0.62, 0.02), (0.62, 0.34), (0.95, 0.34), (0.95, 0.66), (0.62, 0.66),
                 (0.62, 0.98))  # fmt: skip
_RIGHT = _polygon((0.95, 0.5), (0.38, 0.02), (0.38, 0.34), (0.05, 0.34), (0.05, 0.66), (0.38, 0.66),
                  (0.38, 0.98))  # fmt: skip

SYMBOLS: Final[dict[str, Draw]] = {
    "up": _UP,
    "down": _DOWN,
    "left": _LEFT,
    "right": _RIGHT,
    "start": _polygon((0.12, 0.04), (0.96, 0.5), (0.12, 0.96)),
    "stop": _polygon((0.08, 0.08), (0.92, 0.08), (0.92, 0.92), (0.08, 0.92)),
    "pause": _several(
        _polygon((0.14, 0.06), (0.4, 0.06), (0.4, 0.94), (0.14, 0.94)),
        _polygon((0.6, 0.06), (0.86, 0.06), (0.86, 0.94), (0.6, 0.94)),
    ),
    "clamp": _several(
        _polygon((0.0, 0.1), (0.16, 0.1), (0.16, 0.9), (0.0, 0.9)),
        _polygon((0.84, 0.1), (1.0, 0.1), (1.0, 0.9), (0.84, 0.9)),
        _polygon((0.22, 0.3), (0.46, 0.5), (0.22, 0.7)),
        _polygon((0.78, 0.3), (0.54, 0.5), (0.78, 0.7)),
    ),
    "release": _several(
        _polygon((0.42, 0.1), (0.58, 0.1), (0.58, 0.9), (0.42, 0.9)),
        _polygon((0.3, 0.3), (0.06, 0.5), (0.3, 0.7)),
        _polygon((0.7, 0.3), (0.94, 0.5), (0.7, 0.7)),
    ),
    "faster": _several(
        _polygon((0.02, 0.1), (0.48, 0.5), (0.02, 0.9)),
        _polygon((0.5, 0.1), (0.96, 0.5), (0.5, 0.9)),
    ),
    "slower": _several(
        _polygon((0.98, 0.1), (0.52, 0.5), (0.98, 0.9)),
        _polygon((0.5, 0.1), (0.04, 0.5), (0.5, 0.9)),
    ),
    "disc": _disc,
    "ring": _ring,
    "triangle": _polygon((0.5, 0.04), (1.0, 0.94), (0.0, 0.94)),
    "diamond": _polygon((0.5, 0.0), (1.0, 0.5), (0.5, 1.0), (0.0, 0.5)),
    "square": _polygon((0.06, 0.06), (0.94, 0.06), (0.94, 0.94), (0.06, 0.94)),
    "octagon": _regular(8, pi / 8),
    "line": _several(  # a line between two posts
        _polygon((0.0, 0.1), (0.12, 0.1), (0.12, 0.9), (0.0, 0.9)),
        _polygon((0.88, 0.1), (1.0, 0.1), (1.0, 0.9), (0.88, 0.9)),
        _polygon((0.0, 0.42), (1.0, 0.42), (1.0, 0.58), (0.0, 0.58)),
    ),
    "band_broken": _several(  # two ends that do not meet
        _polygon((0.0, 0.38), (0.46, 0.38), (0.32, 0.62), (0.0, 0.62)),
        _polygon((0.68, 0.38), (1.0, 0.38), (1.0, 0.62), (0.54, 0.62)),
    ),
    "hexagon": _regular(6),
    "bar_end": _several(
        _polygon((0.0, 0.25), (0.62, 0.25), (0.62, 0.75), (0.0, 0.75)),
        _polygon((0.78, 0.04), (0.94, 0.04), (0.94, 0.96), (0.78, 0.96)),
    ),
    "drop": _drop,
    "dry": _several(_ring, _stroke((0.2, 0.8), (0.8, 0.2))),
    "waves": _waves,
    "tick": _stroke((0.06, 0.55), (0.38, 0.86), (0.94, 0.16)),
    "cross": _several(_stroke((0.1, 0.1), (0.9, 0.9)), _stroke((0.9, 0.1), (0.1, 0.9))),
    "plus": _several(
        _polygon((0.42, 0.08), (0.58, 0.08), (0.58, 0.92), (0.42, 0.92)),
        _polygon((0.08, 0.42), (0.92, 0.42), (0.92, 0.58), (0.08, 0.58)),
    ),
    "minus": _polygon((0.08, 0.42), (0.92, 0.42), (0.92, 0.58), (0.08, 0.58)),
    "hand": _several(  # three fingers, so that they stay apart when it is small
        _polygon((0.28, 0.5), (0.96, 0.5), (0.96, 0.78), (0.8, 0.98), (0.46, 0.98), (0.28, 0.8)),
        _polygon((0.28, 0.1), (0.4, 0.1), (0.4, 0.55), (0.28, 0.55)),
        _polygon((0.56, 0.02), (0.68, 0.02), (0.68, 0.55), (0.56, 0.55)),
        _polygon((0.84, 0.1), (0.96, 0.1), (0.96, 0.55), (0.84, 0.55)),
        _polygon((0.02, 0.46), (0.12, 0.4), (0.34, 0.64), (0.34, 0.86)),
    ),
    "lock": _several(
        _polygon((0.12, 0.46), (0.88, 0.46), (0.88, 0.96), (0.12, 0.96)),
        _stroke((0.27, 0.5), (0.27, 0.22), (0.42, 0.08), (0.58, 0.08), (0.73, 0.22), (0.73, 0.5)),
    ),
    "speaker": _several(
        _polygon((0.0, 0.34), (0.24, 0.34), (0.54, 0.08), (0.54, 0.92), (0.24, 0.66), (0.0, 0.66)),
        _stroke((0.68, 0.3), (0.76, 0.5), (0.68, 0.7)),
        _stroke((0.84, 0.14), (0.98, 0.5), (0.84, 0.86)),
    ),
    "speech": _polygon((0.02, 0.1), (0.98, 0.1), (0.98, 0.7), (0.5, 0.7), (0.24, 0.98), (0.24, 0.7),
                       (0.02, 0.7)),
    "gear": _gear,
    "home": _polygon((0.5, 0.06), (0.98, 0.5), (0.84, 0.5), (0.84, 0.94), (0.16, 0.94), (0.16, 0.5),
                     (0.02, 0.5)),
    "power": _several(_ring, _polygon((0.43, 0.0), (0.57, 0.0), (0.57, 0.5), (0.43, 0.5))),
    "turn": _several(_ring, _polygon((0.44, 0.08), (0.56, 0.08), (0.56, 0.5), (0.44, 0.5))),
}  # fmt: skip


def symbol(pen: Pen, name: str, rect: Rect, colour: Colour) -> None:
    """Draw a symbol by its name into a square."""
    SYMBOLS[name](pen, rect, colour)


def square_in(rect: Rect, size: int) -> Rect:
    """Return a square of a size in the middle of a rectangle."""
    return Rect(rect.centerx - size // 2, rect.centery - size // 2, size, size)
