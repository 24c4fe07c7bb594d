"""Small drawings of words that are no part of the saw: what is meant is bright, all else is plain.

Shapes of teeth are those of the trade's functions; everything is drawn larger than it is, and no drawing has words.

Never here: parts of the saw, which are shown as they are seen (see `round`).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import cos, pi, radians, sin, tan
from typing import Final

import pygame
from pygame import Rect

from sim.trade.mitre import lean_m
from sim.trade.teeth import gullet_depth_m
from sim.view.kit.palette import Colour
from sim.view.kit.pen import Pen
from sim.view.kit.symbols import symbol

Spot = tuple[float, float]
WIDE, HIGH = 16.0, 9.0  # of a drawing, in its own units
_RAKE_DEG: Final = 10.0  # as bands for structural steel have it; from memory


@dataclass(frozen=True, slots=True)
class _Board:
    """A drawing's place: 16 units wide and 9 high, from its upper left corner."""

    pen: Pen
    rect: Rect

    @property
    def unit(self) -> float:
        return self.rect.width / WIDE

    def at(self, spot: Spot) -> Spot:
        return self.rect.left + spot[0] * self.unit, self.rect.top + spot[1] * self.unit

    def fill(self, spots: Sequence[Spot], colour: Colour) -> None:
        self.pen.shape([self.at(each) for each in spots], colour)

    def box(self, left: float, top: float, wide: float, high: float, colour: Colour) -> None:
        self.fill([(left, top), (left + wide, top), (left + wide, top + high), (left, top + high)], colour)  # fmt: skip

    def line(self, spots: Sequence[Spot], colour: Colour, wide: float = 0.2) -> None:
        places = [self.at(each) for each in spots]
        pygame.draw.lines(self.pen.surface, colour, False, places, max(round(wide * self.unit), 2))

    def dashes(self, one: Spot, other: Spot, colour: Colour) -> None:
        (x0, y0), (x1, y1) = one, other
        steps = 9
        for step in range(0, steps, 2):
            near, far = step / steps, (step + 1) / steps
            self.line(
                [(x0 + (x1 - x0) * near, y0 + (y1 - y0) * near), (x0 + (x1 - x0) * far, y0 + (y1 - y0) * far)],
                colour, 0.15,
            )  # fmt: skip

    def across(self, one: Spot, other: Spot, colour: Colour) -> None:
        """Draw a line with an arrow at both ends."""
        self.line([one, other], colour, 0.16)
        dx, dy = other[0] - one[0], other[1] - one[1]
        long = max((dx * dx + dy * dy) ** 0.5, 1e-9)
        ux, uy = dx / long, dy / long
        for (x, y), way in ((one, 1), (other, -1)):
            bx, by = x + ux * 0.7 * way, y + uy * 0.7 * way
            self.fill([(x, y), (bx - uy * 0.35, by + ux * 0.35), (bx + uy * 0.35, by - ux * 0.35)], colour)  # fmt: skip

    def ring(self, centre: Spot, radius: float, colour: Colour, wide: float) -> None:
        x, y = self.at(centre)
        self.pen.ring(
            (round(x), round(y)), radius * self.unit, colour, max(round(wide * self.unit), 2)
        )

    def disc(self, centre: Spot, radius: float, colour: Colour) -> None:
        x, y = self.at(centre)
        self.pen.disc((round(x), round(y)), radius * self.unit, colour)

    def sign(self, name: str, left: float, top: float, size: float, colour: Colour) -> None:
        x, y = self.at((left, top))
        long = round(size * self.unit)
        symbol(self.pen, name, Rect(round(x), round(y), long, long), colour)


Draw = Callable[[_Board], None]


def _teeth(board: _Board, pitch: float, count: int, left: float = 0.5, tips_y: float = 6.6) -> list[Spot]:  # fmt: skip
    """Draw a strip of band with its teeth down; return where the tips are."""
    deep = gullet_depth_m(pitch)
    lean = deep * tan(radians(_RAKE_DEG))
    top = tips_y - deep - 2.6
    tips = [(left + pitch * (number + 0.9), tips_y) for number in range(count)]
    for x, y in tips:
        root = x - pitch
        board.fill(
            [(root - lean, top), (root - lean, y - deep), (root + 0.25 * pitch, y - deep), (x - 0.12 * pitch, y),
             (x, y), (x - lean, y - deep), (x - lean, top)],
            board.pen.palette.steel,
        )  # fmt: skip
    return tips


def _kerf(b: _Board) -> None:
    p = b.pen.palette
    b.box(1.5, 2.8, 5.6, 5.6, p.steel)
    b.box(8.9, 2.8, 5.6, 5.6, p.steel)
    b.box(7.6, 0.6, 0.8, 6.6, p.iron_edge)
    b.fill([(7.1, 7.6), (7.6, 6.6), (8.4, 6.6), (8.9, 7.6)], p.iron_edge)
    b.box(7.1, 8.0, 1.8, 0.4, p.steel)
    b.line([(7.1, 2.8), (7.1, 8.0), (8.9, 8.0), (8.9, 2.8)], p.guide, 0.18)
    b.across((5.4, 2.0), (7.1, 2.0), p.guide)
    b.across((8.9, 2.0), (10.6, 2.0), p.guide)


def _gullet(b: _Board) -> None:
    pitch, tips = 5.0, _teeth(b, 5.0, 3)
    deep = gullet_depth_m(pitch)
    x, y = tips[0]
    b.fill([(x, y), (x - 0.3, y - deep), (x + 0.25 * pitch, y - deep), (x + 0.88 * pitch, y)], b.pen.palette.guide)  # fmt: skip


def _tooth(b: _Board) -> None:
    pitch = 6.6
    x, y = _teeth(b, pitch, 2, 0.6, 7.6)[0]
    deep = gullet_depth_m(pitch)
    b.fill([(x, y), (x - deep * tan(radians(_RAKE_DEG)), y - deep), (x - 2.6, y - deep), (x - 0.12 * pitch, y)], b.pen.palette.guide)  # fmt: skip


def _edge(b: _Board) -> None:
    x, y = _teeth(b, 6.6, 2, 0.6, 7.6)[0]
    b.disc((x - 0.25, y - 0.15), 0.55, b.pen.palette.guide)


def _pitch(b: _Board) -> None:
    tips = _teeth(b, 4.6, 3, 0.8, 5.8)
    one, other = tips[0], tips[1]
    for x, y in (one, other):
        b.line([(x, y + 0.2), (x, y + 1.8)], b.pen.palette.guide, 0.12)
    b.across((one[0], one[1] + 1.4), (other[0], other[1] + 1.4), b.pen.palette.guide)


def _tpi(b: _Board) -> None:
    tips = _teeth(b, 2.2, 6, 0.8, 5.8)
    one, other = tips[0], tips[4]
    for x, y in (one, other):
        b.line([(x, y + 0.2), (x, y + 1.8)], b.pen.palette.guide, 0.12)
    b.across((one[0], one[1] + 1.4), (other[0], other[1] + 1.4), b.pen.palette.guide)


def _rake(b: _Board) -> None:
    tips = _teeth(b, 6.6, 2, 0.6, 7.6)
    x, y = tips[0]
    deep = gullet_depth_m(6.6)
    b.dashes((x, y), (x, y - deep - 2.4), b.pen.palette.ink)
    b.line([(x, y), (x - deep * tan(radians(_RAKE_DEG)), y - deep)], b.pen.palette.guide, 0.35)


def _set(b: _Board) -> None:
    p = b.pen.palette
    for number, lean in enumerate((-1.0, 0.0, 1.0)):
        x = 3.4 + 4.6 * number
        b.box(x - 0.45, 1.0, 0.9, 3.4, p.steel)
        colour = p.guide if lean else p.steel
        b.fill([(x - 0.45, 4.4), (x + 0.45, 4.4), (x + 0.45 + lean, 7.6), (x - 0.45 + lean, 7.6)], colour)  # fmt: skip
        b.dashes((x, 4.6), (x, 8.4), p.ink)


def _backlash(b: _Board) -> None:
    p = b.pen.palette
    b.box(0.8, 3.9, 14.4, 1.2, p.steel)
    for number in range(9):
        x = 1.2 + number * 1.6
        b.fill([(x, 3.9), (x + 0.5, 2.9), (x + 1.0, 3.9)], p.steel)
    b.box(4.2, 1.0, 7.4, 1.3, p.iron_edge)
    for number in range(4):
        x = 4.75 + number * 1.6
        b.fill([(x - 0.3, 2.3), (x + 0.55, 2.3), (x + 0.2, 3.6)], p.iron_edge)
    for number in range(4):
        x = 5.0 + number * 1.6
        b.line([(x + 0.3, 2.5), (x + 0.02, 3.5)], p.guide, 0.32)
    b.across((6.2, 6.6), (8.2, 6.6), p.guide)


def _mitred(b: _Board) -> tuple[Spot, Spot, Spot, Spot]:
    """Draw a piece with one end at an angle, from above; return its corners."""
    lean = lean_m(4.2, radians(45.0))
    corners = (2.0, 2.4), (13.6, 2.4), (13.6 - lean, 6.6), (2.0, 6.6)
    b.fill(corners, b.pen.palette.steel)
    b.line([corners[1], corners[2]], b.pen.palette.cut, 0.3)
    return corners


def _long_point(b: _Board) -> None:
    one, other, _, _ = _mitred(b)
    b.across((one[0], 1.3), (other[0], 1.3), b.pen.palette.guide)


def _short_point(b: _Board) -> None:
    _, _, one, other = _mitred(b)
    b.across((other[0], 7.7), (one[0], 7.7), b.pen.palette.guide)


def _mitre(b: _Board) -> None:
    _, tip, root, _ = _mitred(b)
    b.dashes((root[0], 0.8), (root[0], 8.6), b.pen.palette.ink)
    arc = [
        (root[0] + 3.2 * sin(step * pi / 40), root[1] - 3.2 * cos(step * pi / 40))
        for step in range(11)
    ]
    b.line(arc, b.pen.palette.guide, 0.25)
    b.line([root, tip], b.pen.palette.cut, 0.3)


def _bar_cut(b: _Board, ends: Sequence[float], bright: int) -> None:
    """Draw a bar in pieces, one of them bright."""
    p = b.pen.palette
    for number in range(len(ends) - 1):
        left, right = ends[number], ends[number + 1] - 0.35
        b.box(left, 3.2, right - left, 2.6, p.guide if number == bright else p.steel)


def _offcut(b: _Board) -> None:
    _bar_cut(b, (0.4, 13.2, 15.2), 1)


def _remnant(b: _Board) -> None:
    _bar_cut(b, (0.6, 2.8, 7.0, 11.2, 15.4), 0)


def _piece(b: _Board) -> None:
    _bar_cut(b, (0.4, 10.2, 15.4), 1)


def _burr(b: _Board) -> None:
    p = b.pen.palette
    b.box(2.0, 2.0, 10.0, 5.0, p.steel)
    b.box(11.5, 2.0, 0.5, 5.0, p.cut)
    teeth = [
        (12.0, 6.4),
        (12.5, 7.4),
        (12.2, 7.2),
        (12.9, 8.3),
        (12.1, 7.7),
        (12.3, 8.6),
        (11.5, 7.0),
    ]
    b.fill(teeth, p.guide)


def _chip(b: _Board) -> None:
    for left, turns in ((3.4, 2.2), (8.2, 2.6), (12.6, 1.8)):
        curl = [
            (left + (0.35 + step * 0.045) * cos(step * 0.42), 4.6 + (0.35 + step * 0.045) * sin(step * 0.42))
            for step in range(round(turns * 15))
        ]  # fmt: skip
        b.line(curl, b.pen.palette.guide, 0.3)


def _powder(b: _Board) -> None:
    for number in range(46):
        x = 2.0 + (number * 7.3) % 12.0
        b.disc((x, 7.6 - (number * 3.7) % (4.4 - abs(x - 8.0) * 0.55 + 0.4)), 0.24, b.pen.palette.guide)  # fmt: skip


def _wander(b: _Board) -> None:
    p = b.pen.palette
    b.box(1.6, 1.2, 12.8, 6.8, p.steel)
    b.dashes((8.0, 0.4), (8.0, 8.6), p.ink)
    drift = [(8.0 + 2.0 * (step / 12) ** 2, 0.6 + step * 7.4 / 12) for step in range(13)]
    b.line(drift, p.dark, 0.6)
    b.line(drift, p.guide, 0.25)


def _squareness(b: _Board) -> None:
    p = b.pen.palette
    b.fill([(1.0, 1.6), (12.4, 1.6), (11.2, 7.6), (1.0, 7.6)], p.steel)
    b.dashes((12.4, 0.6), (12.4, 8.6), p.ink)
    b.fill([(12.4, 1.6), (12.4, 7.6), (11.2, 7.6)], p.guide)


def _straddle(b: _Board) -> None:
    tips = _teeth(b, 5.6, 2, 2.2, 6.0)
    x, y = (tips[0][0] + tips[1][0]) / 2, tips[0][1]
    b.box(x - 0.7, y - 1.3, 1.4, 4.2, b.pen.palette.guide)


def _bundle(b: _Board) -> None:
    p = b.pen.palette
    b.box(0.6, 3.0, 1.4, 4.6, p.iron)
    b.box(14.0, 3.0, 1.4, 4.6, p.iron)
    b.box(1.6, 7.6, 12.8, 0.6, p.iron_edge)
    for number in range(4):
        b.disc((3.5 + number * 3.0, 6.1), 1.5, p.guide)
        b.ring((3.5 + number * 3.0, 6.1), 1.5, p.dark, 0.1)


def _tube(b: _Board) -> None:
    b.ring((8.0, 4.5), 3.6, b.pen.palette.guide, 0.9)


def _wall(b: _Board) -> None:
    p = b.pen.palette
    b.ring((8.0, 4.5), 3.6, p.steel, 0.9)
    b.across((10.2, 4.5), (12.2, 4.5), p.guide)


def _solid(b: _Board) -> None:
    b.disc((8.0, 4.5), 3.6, b.pen.palette.guide)


def _flat(b: _Board) -> None:
    b.box(2.6, 3.6, 10.8, 1.9, b.pen.palette.guide)


def _crush(b: _Board) -> None:
    p = b.pen.palette
    oval = [(8.0 + 2.7 * cos(s * pi / 20), 4.5 + 3.9 * sin(s * pi / 20)) for s in range(41)]
    b.line(oval, p.guide, 0.8)
    b.box(3.2, 1.6, 1.8, 5.8, p.iron)
    b.box(11.0, 1.6, 1.8, 5.8, p.iron)


def _gap(b: _Board) -> None:
    p = b.pen.palette
    b.box(12.0, 1.4, 2.4, 6.2, p.iron)
    b.box(1.6, 1.4, 2.4, 6.2, p.iron)
    b.disc((9.6, 5.2), 2.4, p.steel)
    b.box(1.0, 7.6, 14.0, 0.5, p.iron_edge)
    b.across((4.0, 5.2), (7.2, 5.2), p.guide)


def _bowed(b: _Board) -> None:
    p = b.pen.palette
    upper = [(0.8 + step * 14.4 / 16, 5.2 - 2.4 * sin(step * pi / 16)) for step in range(17)]
    b.fill([*upper, *((x, y + 1.8) for x, y in reversed(upper))], p.guide)
    b.dashes((0.8, 7.0), (15.2, 7.0), p.ink)


def _length_stop(b: _Board) -> None:
    p = b.pen.palette
    b.box(0.4, 3.4, 10.6, 2.4, p.steel)
    b.box(11.0, 2.2, 1.2, 4.8, p.guide)
    b.box(12.2, 4.2, 3.2, 0.8, p.guide)


def _closed_contact(b: _Board) -> None:
    p = b.pen.palette
    b.line([(0.8, 5.6), (5.6, 5.6)], p.ink, 0.25)
    b.line([(5.6, 5.6), (11.2, 4.2)], p.guide, 0.4)
    b.line([(10.4, 3.0), (10.4, 5.6), (15.2, 5.6)], p.ink, 0.25)


def _interlock(b: _Board) -> None:
    p = b.pen.palette
    b.line([(0.6, 5.6), (3.2, 5.6)], p.ink, 0.25)
    b.line([(3.2, 5.6), (5.8, 3.6)], p.guide, 0.4)  # open: what follows gets nothing
    b.line([(6.0, 5.6), (9.6, 5.6)], p.ink, 0.25)
    b.ring((11.4, 5.6), 1.7, p.ink, 0.25)
    b.line([(13.1, 5.6), (15.4, 5.6)], p.ink, 0.25)
    b.sign("lock", 3.0, 0.5, 2.6, p.guide)


def _two_hand(b: _Board) -> None:
    p = b.pen.palette
    for x in (3.6, 12.4):
        b.disc((x, 6.2), 2.2, p.guide)
        b.sign("hand", x - 1.5, 2.6, 3.0, p.ink)
    b.line([(5.8, 7.4), (10.2, 7.4)], p.ink, 0.2)


def _lock_out(b: _Board) -> None:
    p = b.pen.palette
    b.disc((6.0, 4.5), 3.4, p.yellow)
    b.fill([(5.2, 1.6), (6.8, 1.6), (6.8, 7.4), (5.2, 7.4)], p.stop)
    b.sign("lock", 8.4, 3.2, 4.6, p.guide)


SKETCHES: Final[dict[str, Draw]] = {
    "kerf": _kerf, "tooth": _tooth, "edge": _edge, "tip": _edge, "gullet": _gullet, "pitch": _pitch, "tpi": _tpi, "rake": _rake, "set": _set,
    "backlash": _backlash, "long-point": _long_point, "short-point": _short_point, "mitre": _mitre,
    "offcut": _offcut, "squaring-cut": _offcut, "remnant": _remnant, "piece": _piece, "burr": _burr,
    "chip": _chip, "powder": _powder, "wander": _wander, "squareness": _squareness, "straddle": _straddle,
    "bundle": _bundle, "tube": _tube, "wall": _wall, "solid": _solid, "flat": _flat, "crush": _crush,
    "jaw-gap": _gap, "length-stop": _length_stop, "bowed": _bowed, "normally-closed": _closed_contact, "interlock": _interlock,
    "two-hand": _two_hand, "lock-out": _lock_out, "lock": _lock_out,
}  # fmt: skip
"""Words of the glossary that are drawn, by their names."""


def paint_sketch(pen: Pen, rect: Rect, name: str) -> None:
    """Draw one in a place of 16 to 9, as large as it goes."""
    pen.fill(rect, pen.palette.paper)
    clip = pen.surface.get_clip()
    pen.surface.set_clip(rect.clip(clip))
    unit = min(rect.width / WIDE, rect.height / HIGH)
    place = Rect(0, 0, round(WIDE * unit), round(HIGH * unit))
    place.center = rect.center
    SKETCHES[name](_Board(pen, place))
    pen.surface.set_clip(clip)
