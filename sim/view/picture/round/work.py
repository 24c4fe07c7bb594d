"""The bar and the pieces in the round: any section, ends at any angle, kerfs that stay, a dented wall.

Each is a sprite: painted once for its shape, slid to where it is.
"""

from collections.abc import Sequence
from math import cos, sin, sqrt, tan
from typing import Final

import pygame

from sim.plant.bar import CORNER_SEEN_M, Bar, Piece
from sim.plant.kerfs import Kerf
from sim.session.inspections.pieces import DENT_M
from sim.trade.crush import across_m
from sim.trade.mitre import BarEnd, square_end
from sim.trade.sections import (
    Angle,
    Bundle,
    IBeam,
    Rectangle,
    RectangularTube,
    Round,
    RoundTube,
    Section,
    Square,
    SquareTube,
)
from sim.view.kit.palette import Colour, mix
from sim.view.picture.round.camera import Camera, Place, Spot
from sim.view.picture.round.colours import Paints
from sim.view.picture.round.shading import (
    Painter,
    Sprite,
    dimmed,
    reach,
    sprite,
    tone,
    turned_to_us,
)
from sim.view.picture.round.sizes import Sizes
from sim.view.picture.round.solids import Outline, circle

_SIDES: Final = 32
_SHADOW_SLOPE: Final = 0.45  # how far aside the band's shadow falls, by its height over the bar
_ROUND_SIDES: Final = 12  # from so many on, sides are those of something round
_ROOT_2: Final = sqrt(2.0)


def outlines(section: Section, dent_m: float = 0.0) -> list[tuple[Outline, Outline | None]]:
    """Return the bars of a section as they lie, each its outside and its bore, (y, z) with z from the bed.

    The fixed jaw is at y = 0, so that the bars lie at negative y. They come from back to front.
    """
    if isinstance(section, Bundle):
        wide, high = section.section.width_m, section.section.height_m
        return [
            (
                _moved(outside, -wide * column, high * row),
                bore and _moved(bore, -wide * column, high * row),
            )
            for row in range(section.rows)
            for column in range(section.count)
            for outside, bore in outlines(section.section)
        ]
    outside, bore = _single(section)
    if dent_m > 0.0:
        narrow, tall = across_m(section, dent_m)
        across, up = narrow / section.width_m, tall / section.height_m
        outside = [(y * across, z * up) for y, z in outside]
        bore = [(y * across, z * up) for y, z in bore] if bore is not None else None
    return [(outside, bore)]


def _moved(outline: Outline, y_m: float, z_m: float) -> Outline:
    return [(y + y_m, z + z_m) for y, z in outline]


def _single(section: Section) -> tuple[Outline, Outline | None]:
    wide, high = section.width_m, section.height_m
    if isinstance(section, Round | RoundTube):
        middle = (-wide / 2, wide / 2)
        bore = None
        if isinstance(section, RoundTube):
            bore = circle(middle, wide / 2 - section.wall_m, _SIDES)
        return circle(middle, wide / 2, _SIDES), bore
    if isinstance(section, Angle):
        return _angle(section), None
    if isinstance(section, IBeam):
        return _beam(section), None
    bore = None
    if isinstance(section, SquareTube | RectangularTube):
        wall = section.wall_m
        bore = _rectangle(-wide + wall, wall, -wall, high - wall)
    assert isinstance(section, Square | Rectangle | SquareTube | RectangularTube)
    return _rectangle(-wide, 0.0, 0.0, high), bore


def _rectangle(y0: float, z0: float, y1: float, z1: float) -> Outline:
    return (y0, z0), (y1, z0), (y1, z1), (y0, z1)


def _angle(section: Angle) -> Outline:
    middle, high = -section.width_m / 2, section.height_m
    half, tip = section.width_m / 2, section.thickness_m / _ROOT_2
    inner = high - section.thickness_m * _ROOT_2
    return (
        (middle, high), (middle - half, high - half), (middle - half + tip, 0.0), (middle, inner),
        (middle + half - tip, 0.0), (middle + half, high - half),
    )  # fmt: skip


def _beam(section: IBeam) -> Outline:
    wide, high, flange = section.width_m, section.height_m, section.flange_m
    left, right = -wide / 2 - section.web_m / 2, -wide / 2 + section.web_m / 2
    return (
        (-wide, 0.0), (0.0, 0.0), (0.0, flange), (right, flange), (right, high - flange), (0.0, high - flange),
        (0.0, high), (-wide, high), (-wide, high - flange), (left, high - flange), (left, flange), (-wide, flange),
    )  # fmt: skip


class Stick:
    """A length of bar, between two ends that need not be square.

    Args:
        section: Of it.
        front: Its front end from above, from its place at the fixed jaw.
        rear: Its rear end likewise.
        dent_m: How far jaws have pressed it in.
        kerfs: Old slots: where each is along it at the fixed jaw, and the slot.
    """

    def __init__(
        self, section: Section, front: BarEnd, rear: BarEnd, dent_m: float = 0.0,
        kerfs: Sequence[tuple[float, Kerf]] = (),
    ) -> None:  # fmt: skip
        self._section, self._front, self._rear = section, front, rear
        self._dent_m, self.kerfs = dent_m, kerfs
        self.lies = False  # on a table, on which it throws a shadow

    def spots(self) -> list[Spot]:
        """Return corners of the room that it takes."""
        wide, high = self._section.width_m, self._section.height_m * 1.05
        xs = [x for _, x in (*self._front.points, *self._rear.points)]
        return [(x, y, z) for x in (min(xs), max(xs)) for y in (-wide, 0.0) for z in (0.0, high)]

    def sprite(self, camera: Camera, paints: Paints, colour: Colour) -> Sprite:
        """Return its picture, its front at the fixed jaw where the band is."""
        area = reach(camera, self.spots())
        return sprite(camera, area, lambda painter: self.paint(painter, paints, colour))

    def paint(self, painter: Painter, paints: Paints, colour: Colour) -> None:
        """Paint it."""
        if self.lies:
            self._shadow(painter)
        for outside, bore in outlines(self._section, self._dent_m):
            self._sides(painter, outside, colour)
            self._end(painter, outside, bore, paints, colour)
        for at_m, kerf in self.kerfs:
            self._slot(painter, at_m, kerf, paints)

    def _shadow(self, painter: Painter) -> None:
        wide = self._section.width_m
        ends = ((self._rear, 0.0), (self._rear, wide), (self._front, wide), (self._front, 0.0))
        for grown, dark in ((0.010, 40), (0.004, 60)):
            spots = []
            for end, across in ends:
                along = grown if end is self._front else -grown * 0.3
                spots.append(
                    (end.x_at_m(across) + along, -across - (grown if across else -grown * 0.2), 0.0)
                )
            veil = pygame.Surface(painter.surface.get_size(), pygame.SRCALPHA)
            pygame.draw.polygon(veil, (0, 0, 0, dark), painter.places(spots))
            painter.surface.blit(veil, (0, 0))

    def _sides(self, painter: Painter, outside: Outline, colour: Colour) -> None:
        camera = painter.camera
        soft = len(outside) > _ROUND_SIDES
        faces: list[tuple[float, list[Place], Colour]] = []
        for (y0, z0), (y1, z1) in zip(outside, (*outside[1:], outside[0]), strict=True):
            spots = [
                (self._rear.x_at_m(-y0), y0, z0), (self._rear.x_at_m(-y1), y1, z1),
                (self._front.x_at_m(-y1), y1, z1), (self._front.x_at_m(-y0), y0, z0),
            ]  # fmt: skip
            places = painter.places(spots)
            if turned_to_us(places):
                middle = (y0 + y1) * camera.near[1] + (z0 + z1) * camera.near[2]
                faces.append((middle, places, tone(camera, spots, colour, soft=soft)))
        for _, places, shade in sorted(faces, key=lambda face: face[0]):
            painter.face(places, shade, edges=not soft)

    def _end(
        self,
        painter: Painter,
        outside: Outline,
        bore: Outline | None,
        paints: Paints,
        colour: Colour,
    ) -> None:
        to_front = painter.camera.near[0] > 0.0
        end = self._front if to_front else self._rear
        face = painter.places([(end.x_at_m(-y), y, z) for y, z in outside])
        if turned_to_us(face) != to_front:
            return
        pale = mix(colour, (255, 255, 255), 0.35)
        pygame.draw.polygon(painter.surface, dimmed(pale, 0.9), face)
        self._sawn(painter, face, dimmed(pale, 0.80))
        painter.line(face, dimmed(colour, 0.45), closed=True)
        if bore is not None:
            hole = painter.places([(end.x_at_m(-y), y, z) for y, z in bore])
            pygame.draw.polygon(painter.surface, paints.bore, hole)
            painter.line(hole, dimmed(colour, 0.40), closed=True)

    @staticmethod
    def _sawn(painter: Painter, face: list[Place], colour: Colour) -> None:
        """Hatch a sawn face with the marks of the teeth, level as the band ran."""
        left, top = (int(min(place[axis] for place in face)) for axis in (0, 1))
        right, bottom = (int(max(place[axis] for place in face)) + 1 for axis in (0, 1))
        size = (max(right - left, 1), max(bottom - top, 1))
        if min(size) < 6:
            return
        stencil = pygame.Surface(size, pygame.SRCALPHA)
        pygame.draw.polygon(stencil, (*colour, 255), [(x - left, y - top) for x, y in face])
        lines = pygame.Surface(size, pygame.SRCALPHA)
        slope = painter.camera.y[1] / (painter.camera.y[0] or 1.0)
        step = 3 * painter.fine
        for y in range(-size[1], 2 * size[1], step):
            pygame.draw.line(
                lines, (255, 255, 255, 255), (0, y), (size[0], y + slope * size[0]), painter.fine
            )
        stencil.blit(lines, (0, 0), special_flags=pygame.BLEND_RGBA_MIN)
        painter.surface.blit(stencil, (left, top))

    def _slot(self, painter: Painter, at_m: float, kerf: Kerf, paints: Paints) -> None:
        """Draw an old slot round the bar, as deep as it goes."""
        floor = self._section.height_m - kerf.depth_m
        for outside, _ in outlines(self._section, self._dent_m):
            rim: list[Spot] = []
            for y, z in _upper(outside, floor, painter.camera):
                rim.append((at_m - y * tan(kerf.mitre_rad), y, z))
            if len(rim) > 1:
                painter.line(painter.places(rim), paints.bore, wide=2)


def _upper(outside: Outline, floor_m: float, camera: Camera) -> list[tuple[float, float]]:
    """Return what is seen from our side of an outline over a depth, from its far edge to the near one."""
    edges = list(zip(outside, (*outside[1:], outside[0]), strict=True))
    ours = [
        (z1 - z0) * camera.near[1] - (y1 - y0) * camera.near[2] > 1e-12
        for (y0, z0), (y1, z1) in edges
    ]
    first = next((n for n, seen in enumerate(ours) if seen and not ours[n - 1]), 0)
    found: list[tuple[float, float]] = []
    for number in range(len(edges)):
        at = (first + number) % len(edges)
        if not ours[at]:
            continue
        (y0, z0), (y1, z1) = edges[at]
        for share in range(9):
            y, z = y0 + (y1 - y0) * share / 8, z0 + (z1 - z0) * share / 8
            if z >= floor_m - 1e-9:
                found.append((y, z))
    return found


def dents_of(bar: Bar) -> tuple[float, float]:
    """Return the dents that an eye sees: before the band and behind it, m."""
    front_m, behind_m = (
        round(dent_m, 4) if dent_m > DENT_M else 0.0 for dent_m in (bar.dent_front_m, bar.dent_m)
    )
    return front_m, behind_m


def bar_sprite(
    camera: Camera,
    sizes: Sizes,
    paints: Paints,
    bar: Bar,
    seen_m: float,
    kerfs: Sequence[tuple[float, Kerf]],
) -> Sprite:
    """Return the bar, its front at the fixed jaw where the band is; where jaws dented it, it is oval.

    Args:
        camera: Before which.
        sizes: Of machine and bar.
        paints: Colours.
        bar: Which.
        seen_m: Of it behind its front end, at most.
        kerfs: Old slots: where each is along it, and the slot.
    """
    front_dent, behind_dent = dents_of(bar)
    rear_m = -min(bar.length_m, seen_m)
    band_m = max(-bar.front_m, rear_m)
    jaws_m = max(band_m - sizes.machine.cutting_jaw_m, rear_m)
    parts = [(rear_m, jaws_m, 0.0), (jaws_m, band_m, behind_dent), (band_m, 0.0, front_dent)]
    if not front_dent and not behind_dent:
        parts = [(rear_m, 0.0, 0.0)]
    sticks = []
    for start_m, end_m, dent_m in parts:
        if end_m - start_m > 1e-4:
            front = (
                BarEnd(bar.end.points) if end_m == 0.0 else square_end(sizes.width_m).moved(end_m)
            )
            stick = Stick(sizes.section, front, square_end(sizes.width_m).moved(start_m), dent_m)
            stick.lies = True
            sticks.append(stick)
    if camera.near[0] < 0.0:  # from back to front
        sticks.reverse()
    last = sticks[-1]
    last.kerfs = kerfs
    area = reach(camera, [spot for stick in sticks for spot in stick.spots()])

    def paint(painter: Painter) -> None:
        for stick in sticks:
            stick.paint(painter, paints, paints.bar)

    return sprite(camera, area, paint)


def kerf_line(
    section: Section, camera: Camera, mitre_rad: float, depth_m: float
) -> list[list[Place]]:
    """Return the lines of the kerf under the band, as it is seen on the bar."""
    floor = section.height_m - depth_m
    found = []
    for outside, _ in outlines(section):
        rim = [camera.at(-y * tan(mitre_rad), y, z) for y, z in _upper(outside, floor, camera)]
        if len(rim) > 1:
            found.append(rim)
    return found


def shadow_lines(
    section: Section, camera: Camera, mitre_rad: float, over_m: float
) -> list[list[Place]]:
    """Return the lines of the band's shadow on the bar; it meets the band as that comes down."""
    aside = over_m * _SHADOW_SLOPE
    found = []
    for outside, _ in outlines(section):
        upper = _upper(outside, section.height_m * 0.5, camera)
        rim = [camera.at(aside - y * tan(mitre_rad), y, z) for y, z in upper]
        if len(rim) > 1:
            found.append(rim)
    return found


def near_side(section: Section, camera: Camera, mitre_rad: float) -> list[list[Place]]:
    """Return the area of the screen in which the bar lies on our side of the band."""
    far_m = 3.0 if camera.near[0] > 0.0 else -3.0
    slope = tan(mitre_rad)
    found: list[list[Place]] = []
    for outside, _ in outlines(section):
        start = [camera.at(-y * slope, y, z) for y, z in outside]
        end = [camera.at(far_m, y, z) for y, z in outside]
        found.append(hull([*start, *end]))
    return found


def hull(places: list[Place]) -> list[Place]:
    """Return the corners of the convex area round some places."""
    ordered = sorted(set(places))
    if len(ordered) < 3:
        return ordered

    def half(points: list[Place]) -> list[Place]:
        found: list[Place] = []
        for x, y in points:
            while len(found) > 1:
                (x1, y1), (x0, y0) = found[-1], found[-2]
                if (x1 - x0) * (y - y0) - (y1 - y0) * (x - x0) > 0:
                    break
                found.pop()
            found.append((x, y))
        return found

    return half(ordered)[:-1] + half(ordered[::-1])[:-1]


def piece_stick(section: Section, piece: Piece) -> Stick:
    """Return a piece that fell: as long as it is, its ends at their angles, its corner gone where it is."""
    wide = section.width_m
    lean_front, lean_rear = wide * tan(piece.front_rad), wide * tan(piece.rear_rad)
    skew = piece.out_of_square * _SKEW_FACTOR * wide
    far = piece.length_m - max(lean_front - lean_rear, 0.0)
    points = [(0.0, far), (wide, far + lean_front)]
    if piece.corner_m > CORNER_SEEN_M:
        gone = min(max(piece.corner_m, 0.006), max(lean_front, 0.01), far / 2)
        share = 1.0 - gone / lean_front if lean_front > gone else 0.6
        points = [
            (0.0, far),
            (wide * share, far + lean_front * share),
            (wide, far + lean_front - gone),
        ]
    rear = BarEnd(((0.0, 0.0), (wide, lean_rear + skew)))
    stick = Stick(section, BarEnd(tuple(points)), rear, piece.dent_m)
    stick.lies = True
    return stick


_SKEW_FACTOR: Final = 20.0  # a face out of square is drawn so much larger


def swung(x: float, y: float, mitre_rad: float) -> tuple[float, float]:
    """Return where a place is from above after the head has swung."""
    return x * cos(mitre_rad) - y * sin(mitre_rad), x * sin(mitre_rad) + y * cos(mitre_rad)
