"""The light of a lesson's step: dots round a thing and a small arrow that points into it.

It is told from focus and danger by its shape as well, and stands still.
"""

from collections.abc import Sequence
from math import dist
from typing import Final

import pygame
from pygame import SRCALPHA, Rect, Surface

from sim.view.kit.palette import Colour
from sim.view.kit.pen import Pen, Point
from sim.view.kit.symbols import symbol

_DOT_EMS: Final = 0.17
_APART: Final = 2.4  # from dot to dot, in dots
_ARROW_EMS: Final = 0.7


def ring_of_dots(pen: Pen, rect: Rect) -> None:
    """Draw dots along the edge of a widget, inside it, and an arrow at its upper edge."""
    dot = max(pen.px(_DOT_EMS), 2)
    inner = rect.inflate(-dot - 2, -dot - 2)
    left, top, right, bottom = inner.left, inner.top, inner.right, inner.bottom
    corners = [(left, top), (right, top), (right, bottom), (left, bottom)]
    dots_along(pen, corners, dot)
    arrow_down(pen, (rect.centerx, rect.top + max(pen.px(_ARROW_EMS) * 3 // 4, 5)), small=True)


def dots_along(pen: Pen, line: Sequence[Point], dot: int = 0) -> None:
    """Draw dots along a closed line, dark round each, so that they are seen on anything."""
    dot = dot or max(pen.px(_DOT_EMS), 3)
    places = list(_spaced(line, _APART * dot))
    for wide, colour in ((dot + 2, pen.palette.black), (dot, pen.palette.guide)):
        for x, y in places:
            pygame.draw.rect(pen.surface, colour, (x - wide // 2, y - wide // 2, wide, wide))


def arrow_down(pen: Pen, tip: Point, *, small: bool = False) -> None:
    """Draw an arrow that points down to a place."""
    wide = max(pen.px(_ARROW_EMS * (1.0 if small else 2.0)), 8)
    high = wide * 3 // 4
    x, y = round(tip[0]), round(tip[1])
    edge = [(x - wide // 2 - 2, y - high - 2), (x + wide // 2 + 2, y - high - 2), (x, y + 2)]
    pygame.draw.polygon(pen.surface, pen.palette.black, edge)
    face = [(x - wide // 2, y - high), (x + wide // 2, y - high), (x, y)]
    pygame.draw.polygon(pen.surface, pen.palette.guide, face)


def _spaced(line: Sequence[Point], apart: float) -> list[tuple[int, int]]:
    """Return places along a closed line, so far apart."""
    found: list[tuple[int, int]] = []
    over = 0.0
    for number, (x0, y0) in enumerate(line):
        x1, y1 = line[(number + 1) % len(line)]
        long = dist((x0, y0), (x1, y1))
        at = over
        while at < long:
            share = at / long
            found.append((round(x0 + (x1 - x0) * share), round(y0 + (y1 - y0) * share)))
            at += apart
        over = at - long
    return found


_HAND_EMS: Final = 1.9
_DASH: Final = 3  # times its width: a dash, and two thirds as much a gap
_VEIL: Final = 96  # of 255: how solid a ghost is
_ghosts: Final[dict[tuple[int, Colour], Surface]] = {}  # by height; there are few


def ghost_on(pen: Pen, rect: Rect) -> None:
    """Draw a ghost hand at the right of a widget, as large as there is room for."""
    high = max(min(pen.px(_HAND_EMS), rect.height), 20)
    ghost_hand(pen, (rect.right - high, rect.centery), high)


def ghost_hand(pen: Pen, middle: Point, high: int, *, mirrored: bool = False) -> None:
    """Draw a hand that is not there round a place: seen through, its outline in dashes."""
    key = high, pen.palette.guide
    if key not in _ghosts:
        _ghosts[key] = _ghost(pen, high)
    hand = _ghosts[key]
    shown = pygame.transform.flip(hand, True, False) if mirrored else hand
    wide, tall = hand.get_size()
    pen.surface.blit(shown, (round(middle[0]) - wide // 2, round(middle[1]) - tall // 2))


def _ghost(pen: Pen, high: int) -> Surface:
    """Return the ghost of the sign of a hand."""
    edge, colour, dark = 4, pen.palette.guide, pen.palette.black
    solid = Surface((high + 2 * edge, high + 2 * edge), SRCALPHA)
    symbol(Pen(solid, pen.kit), "hand", Rect(edge, edge, high, high), colour)
    mask = pygame.mask.from_surface(solid, 100)
    ghost = mask.to_surface(setcolor=(*colour, _VEIL), unsetcolor=(0, 0, 0, 0))
    thick = max(high // 22, 2)
    outlines = [each.outline() for each in mask.connected_components(12)]
    for width, ink in ((thick + 2, dark), (thick, colour)):
        for outline in outlines:
            dash = round(thick * _DASH)
            for at in range(0, len(outline), dash * 5 // 3):
                line = outline[at : at + dash]
                if len(line) > 1:
                    pygame.draw.lines(ghost, ink, False, line, width)
    return ghost
