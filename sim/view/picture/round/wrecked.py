"""What a run that went wrong leaves in the round: a bar thrown out of its jaws, and where it lay before.

Never gore, and never words: those are on the card beside it.
"""

from copy import copy
from math import cos, radians, sin
from typing import Final

import pygame

from sim.plant.harm.consequences import Consequence
from sim.trade.mitre import BarEnd, square_end
from sim.view.kit.palette import RED
from sim.view.picture.round.camera import Camera, Place, Spot
from sim.view.picture.round.colours import Paints
from sim.view.picture.round.shading import Painter, Sprite
from sim.view.picture.round.sizes import Sizes
from sim.view.picture.round.work import Stick
from sim.view.play.happening import Showing, kinds_by

THROWN: Final = kinds_by(Showing.TURNS_OUT, Showing.SNATCHED)
_TURNS_X: Final = -1.7  # where the bar turns, along it
_YAW_DEG: Final = -3.5  # its front end towards us
_PITCH_DEG: Final = 4.4  # and up
_SEEN_M: Final = 1.9
_DASH_PX: Final = 9
_PALE: Final = (248, 248, 250)
_INK: Final = (14, 16, 20)
_SEGMENTS: Final = 24


def thrown(ended: Consequence | None) -> bool:
    """Whether what ended the run threw the bar out of its jaws."""
    return ended is not None and ended.kind in THROWN


def _rotated(spot: Spot, share: float) -> Spot:
    """Return a way on the machine after the bar has turned so far."""
    x, y, z = spot
    pitch, yaw = radians(_PITCH_DEG * share), radians(_YAW_DEG * share)
    x, z = x * cos(pitch) - z * sin(pitch), x * sin(pitch) + z * cos(pitch)
    return x * cos(yaw) - y * sin(yaw), x * sin(yaw) + y * cos(yaw), z


def turned(camera: Camera, about: Spot, share: float = 1.0) -> Camera:
    """Return a camera to which the machine looks as if it had turned as far as a thrown bar turns."""
    other = copy(camera)
    ways = [_rotated(way, share) for way in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))]
    other.x, other.y, other.z = (camera.along(*way) for way in ways)
    for name in ("right", "up", "near"):
        old: Spot = getattr(camera, name)
        new = tuple(sum(a * b for a, b in zip(old, way, strict=True)) for way in ways)
        setattr(other, name, new)
    was, now = camera.at(*about), other.along(*about)
    other.origin = was[0] - now[0], was[1] - now[1]
    return other


def thrown_bar(
    camera: Camera, sizes: Sizes, paints: Paints, end: BarEnd, front_m: float, share: float = 1.0
) -> Sprite:
    """Return the bar as it would have been thrown, turned about a place far behind the band."""
    rear = square_end(sizes.width_m).moved(front_m - _SEEN_M)
    stick = Stick(sizes.section, BarEnd(end.points).moved(front_m), rear)
    return stick.sprite(turned(camera, (_TURNS_X, 0.0, 0.0), share), paints, paints.bar)


def dashes(places: list[Place]) -> list[tuple[Place, Place]]:
    """Return the dashes of a closed line."""
    found: list[tuple[Place, Place]] = []
    for (x0, y0), (x1, y1) in zip(places, (*places[1:], places[0]), strict=True):
        long = max(((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5, 1.0)
        count = max(int(long / _DASH_PX), 1)
        for number in range(0, count, 2):
            start, end = number / count, min((number + 1) / count, 1.0)
            found.append((
                (x0 + (x1 - x0) * start, y0 + (y1 - y0) * start),
                (x0 + (x1 - x0) * end, y0 + (y1 - y0) * end),
            ))  # fmt: skip
    return found


def ring_mark(painter: Painter, spot: Spot, far_m: float) -> None:
    """Ring the place where something went wrong: red and white by turns, so that it is told in grey too."""
    x, y = painter.at(spot)
    outer, inner = painter.long(far_m), painter.long(far_m * 0.90)
    around = [
        (cos(radians(360 * step / _SEGMENTS)), sin(radians(360 * step / _SEGMENTS)))
        for step in range(_SEGMENTS + 1)
    ]
    for number in range(_SEGMENTS):
        (c0, s0), (c1, s1) = around[number], around[number + 1]
        piece = [
            (x + outer * c0, y + outer * s0), (x + outer * c1, y + outer * s1),
            (x + inner * c1, y + inner * s1), (x + inner * c0, y + inner * s0),
        ]  # fmt: skip
        pygame.draw.polygon(painter.surface, _PALE if number % 2 else RED, piece)
    for far in (outer, inner):
        pygame.draw.circle(painter.surface, _INK, (x, y), far, painter.fine * 2)
