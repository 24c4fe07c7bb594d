"""Flat shading: one light from the upper left, three tones, five on what is round, edges of one px.

What stands still is painted twice as large and made small, which gives clean edges; what moves is painted as
large as it is, its edges smoothed by the pen.
"""

from collections.abc import Callable, Iterable, Sequence
from math import sqrt
from typing import Final, Protocol

import pygame
from pygame import SRCALPHA, Rect, Surface

from sim.view.kit.palette import Colour, mix
from sim.view.picture.round.camera import Camera, Place, Spot
from sim.view.picture.round.solids import Solid

_FRINGE: Final = (96, 102, 110)
FINE: Final = 2  # times as large what is baked is painted
_LIGHT: Final = (-0.50, 0.72, 0.48)  # right, up, towards the eye
_TONES: Final = ((0.66, 1.0), (0.30, 0.80), (-1.0, 0.60))  # from so much light on, so bright
_SOFT: Final = (0.52, 0.64, 0.78, 0.94, 1.10)
_EDGE: Final = 0.62


def _normal(points: Sequence[Spot]) -> Spot:
    (ax, ay, az), (bx, by, bz), (cx, cy, cz) = points[0], points[1], points[2]
    ux, uy, uz = bx - ax, by - ay, bz - az
    vx, vy, vz = cx - bx, cy - by, cz - bz
    x, y, z = uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx
    long = sqrt(x * x + y * y + z * z) or 1.0
    return x / long, y / long, z / long


def _dot(one: Spot, other: Spot) -> float:
    return one[0] * other[0] + one[1] * other[1] + one[2] * other[2]


def dimmed(colour: Colour, share: float) -> Colour:
    """Return a colour in so much light; beyond 1 it is a highlight."""
    if share > 1.0:
        return mix(colour, (255, 255, 255), (share - 1.0) * 3)
    return round(colour[0] * share), round(colour[1] * share), round(colour[2] * share)


def tone(camera: Camera, points: Sequence[Spot], colour: Colour, *, soft: bool) -> Colour:
    """Return the colour of a face by how it stands to the light."""
    normal = _normal(points)
    light = (
        _dot(normal, camera.right) * _LIGHT[0]
        + _dot(normal, camera.up) * _LIGHT[1]
        + _dot(normal, camera.near) * _LIGHT[2]
    )
    if soft:
        return dimmed(colour, _SOFT[min(max(int((light + 0.55) / 1.55 * 5), 0), 4)])
    return dimmed(colour, next(bright for least, bright in _TONES if light >= least))


def turned_to_us(places: Sequence[Place]) -> bool:
    """Return whether a face shows its outer side: its corners run counter-clockwise on the screen."""
    area = 0.0
    x0, y0 = places[-1]
    for x1, y1 in places:
        area += x0 * y1 - x1 * y0
        x0, y0 = x1, y1
    return area < -1e-6


class Painter:
    """A surface on which a camera's solids are painted.

    Args:
        surface: To paint on.
        camera: Whose places are told.
        corner: What place of the camera's picture the surface begins at.
        fine: How many times as large it is.
    """

    def __init__(self, surface: Surface, camera: Camera, corner: Place, fine: int = 1) -> None:
        self.surface = surface
        self.camera = camera
        self.fine = fine
        self._corner = corner

    def at(self, spot: Spot) -> Place:
        """Return the place on the surface of a place on the machine."""
        x, y = self.camera.at(*spot)
        return (x - self._corner[0]) * self.fine, (y - self._corner[1]) * self.fine

    def places(self, spots: Iterable[Spot]) -> list[Place]:
        """Return the places of many."""
        return [self.at(spot) for spot in spots]

    def long(self, length_m: float) -> float:
        """Return a length across the eye in px of the surface."""
        return length_m * self.camera.px_per_m * self.fine

    def solid(self, solid: Solid, *, edges: bool = True) -> None:
        """Paint a solid."""
        places = self.places(solid.points)
        for face in solid.faces:
            corners = [places[corner] for corner in face.corners]
            if turned_to_us(corners):
                points = [solid.points[corner] for corner in face.corners[:3]]
                colour = tone(self.camera, points, solid.colour, soft=face.soft)
                self.face(corners, colour, edges=edges and not face.soft)

    def solids(self, solids: Iterable[Solid]) -> None:
        """Paint them in their order, from back to front."""
        for solid in solids:
            self.solid(solid)

    def face(self, corners: Sequence[Place], colour: Colour, *, edges: bool = True) -> None:
        """Paint one face."""
        pygame.draw.polygon(self.surface, colour, corners)
        if edges:
            self.line(corners, dimmed(colour, _EDGE), closed=True)
        elif self.fine == 1:
            pygame.draw.aalines(self.surface, colour, True, corners)

    def line(
        self, places: Sequence[Place], colour: Colour, *, closed: bool = False, wide: int = 1
    ) -> None:
        """Draw a line of so many px of the screen."""
        if self.fine == 1 and wide == 1:
            pygame.draw.aalines(self.surface, colour, closed, places)
        else:
            pygame.draw.lines(self.surface, colour, closed, places, max(wide * self.fine, 1))

    def shadow(self, spots: Sequence[Spot], dark: float = 0.42) -> None:
        """Darken what lies under something: a contact shadow, soft at its edge."""
        places = self.places(spots)
        left, top = (int(min(place[axis] for place in places)) - 8 for axis in (0, 1))
        right, bottom = (int(max(place[axis] for place in places)) + 8 for axis in (0, 1))
        area = Rect(left, top, right - left, bottom - top).clip(self.surface.get_rect())
        if min(area.size) < 3:
            return
        veil = Surface(area.size)
        veil.fill((255, 255, 255))
        level = round(255 * (1 - dark))
        moved = [(x - area.left, y - area.top) for x, y in places]
        pygame.draw.polygon(veil, (level, level, level), moved)
        soft = max(round(self.long(0.008)), 2)
        veil = pygame.transform.box_blur(veil, soft)
        self.surface.blit(veil, area, special_flags=pygame.BLEND_RGB_MULT)


class Board(Protocol):
    """What a sprite can be put on."""

    def blit(self, other: Surface, place: tuple[float, float]) -> Rect:
        """Draw a picture at a place."""


class Sprite:
    """A picture of something that slides: painted once, put where it is."""

    def __init__(self, surface: Surface, corner: tuple[int, int]) -> None:
        self.surface = surface
        self.corner = corner

    def put(self, surface: Board, by: Place = (0.0, 0.0)) -> Rect:
        """Draw it, moved by so many px; return where."""
        return surface.blit(self.surface, self.place(by).topleft)

    def place(self, by: Place = (0.0, 0.0)) -> Rect:
        """Return where it is, moved by so many px."""
        corner = self.corner[0] + round(by[0]), self.corner[1] + round(by[1])
        return Rect(corner, self.surface.get_size())


def sprite(
    camera: Camera, area: Rect, paint: Callable[[Painter], None], fine: int = FINE
) -> Sprite:
    """Return a sprite of an area of a camera's picture, clear around what is painted."""
    large = Surface((area.width * fine, area.height * fine), SRCALPHA)
    large.fill((*_FRINGE, 0))  # what smoothed edges are mixed with
    paint(Painter(large, camera, area.topleft, fine))
    small = pygame.transform.smoothscale(large, area.size) if fine > 1 else large
    seen = small.get_bounding_rect()
    if min(seen.size) <= 0:
        return Sprite(Surface((1, 1), SRCALPHA), area.topleft)
    return Sprite(small.subsurface(seen).copy(), (area.left + seen.left, area.top + seen.top))


def reach(camera: Camera, spots: Iterable[Spot], edge: int = 4) -> Rect:
    """Return the area of the screen that some places take, and a little more."""
    places = [camera.at(*spot) for spot in spots]
    left, top = (int(min(place[axis] for place in places)) - edge for axis in (0, 1))
    right, bottom = (int(max(place[axis] for place in places)) + edge for axis in (0, 1))
    return Rect(left, top, right - left + 1, bottom - top + 1)
