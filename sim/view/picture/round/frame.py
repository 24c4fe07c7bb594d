"""What stands still: room, infeed, base, vise bed, pivot, outfeed, cabinet, console.

Baked once for a camera and a size, with the shadows that it throws on the floor, and kept for the
next session that is looked at from there.
"""

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise
from math import cos, pi, radians, sin
from typing import Final

import pygame
from pygame import Rect, Surface

from sim.view.kit.palette import RED, STOP_RED, mix
from sim.view.picture.round.camera import Camera, Sight, Spot
from sim.view.picture.round.colours import Paints
from sim.view.picture.round.ordering import back_to_front
from sim.view.picture.round.shading import FINE, Painter, dimmed
from sim.view.picture.round.sizes import FLOOR_Z, FRONT_Y, PIVOT_Y, RAIL_Y, ROD_Y, TABLE_Z, Sizes
from sim.view.picture.round.solids import Solid, box, cylinder, prism
from sim.view.picture.round.spray import TRAY_X, TRAY_Y, TRAY_Z

INFEED_END: Final = -2.4  # as far as it is drawn
OUTFEED_END: Final = 1.6
SUPPLY_Y: Final = (-0.50, -0.40)
AIR_X, OIL_X, CABINET_X, TANK_X = -0.98, -0.84, -0.68, -0.53
DESK_X: Final = (-0.36, -0.18)
DESK_Y: Final = (-0.54, -0.43)
DESK_Z: Final = (-0.095, -0.045)
PALMS: Final = ((-0.335, -0.50, -0.078), (-0.205, -0.50, -0.078))
_BASE_X: Final = (-0.42, 0.17)
_WALL_Y: Final = 1.5
_LANE_Y: Final = (-0.80, 0.80)
_FENCE_Y: Final = 1.0
_YELLOW: Final = (240, 206, 40)
ROPE: Final = (186, 62, 58)
ROPE_POSTS: Final = (-1.9, -1.2, -0.58)
ROPE_Y, ROPE_Z = RAIL_Y[1] - 0.028, 0.015


def standing(sizes: Sizes, paints: Paints) -> list[Solid]:
    """Return everything that stands still, in no order."""
    return [
        *_infeed(paints),
        *_base(sizes, paints),
        *_outfeed(paints),
        *_supplies(paints),
        *_desk(paints),
    ]


def _infeed(paints: Paints) -> Iterator[Solid]:
    for x in (-2.2, -1.6, -1.05, -0.52):
        for y in RAIL_Y:
            yield box(
                (x, x + 0.03), (y - 0.012, y + 0.012), (FLOOR_Z, -0.06), paints.dark, "infeed"
            )
    for y in RAIL_Y:
        yield box(
            (INFEED_END, -0.13), (y - 0.014, y + 0.014), (-0.06, -0.035), paints.table, "infeed"
        )
    for x in ROPE_POSTS:
        yield box(
            (x, x + 0.016),
            (RAIL_Y[1] - 0.035, RAIL_Y[1] - 0.02),
            (-0.06, 0.02),
            paints.dark,
            "trip_line",
        )
    x = -0.20
    while x > INFEED_END:
        yield cylinder(
            1,
            (-0.017, x),
            0.017,
            (RAIL_Y[1] + 0.016, RAIL_Y[0] - 0.016),
            paints.roller,
            "infeed",
            16,
        )
        x -= 0.115


def _base(sizes: Sizes, paints: Paints) -> Iterator[Solid]:
    machine = sizes.machine
    plinth, top = FLOOR_Z + 0.035, -0.055
    yield box(_BASE_X, (-0.30, 0.34), (plinth, top), paints.base, "base")
    yield box(
        (_BASE_X[0] + 0.02, _BASE_X[1] - 0.02),
        (-0.28, 0.32),
        (FLOOR_Z, plinth),
        paints.dark,
        "base",
    )
    yield box((-0.09, 0.09), (0.345, 0.57), (FLOOR_Z, -0.05), paints.base, "pivot")
    yield from _track(machine.mitre_high_deg, paints)
    bed = machine.cutting_jaw_m + 0.015
    yield box((-bed, -0.004), (-0.36, 0.085), (top, -0.001), paints.base, "cutting_vise")
    yield box((0.004, 0.024), (-0.30, 0.06), (top, -0.02), paints.dark, "base")
    yield from _tray(paints)
    yield cylinder(
        2, (-0.05, ROD_Y), 0.008, (FLOOR_Z, sizes.rod_top_m), paints.rod, "height_stop", 12
    )


def _tray(paints: Paints) -> Iterator[Solid]:
    """Yield the tray behind the band, into which its teeth carry the chips: a floor and four low walls."""
    (x0, x1), (y0, y1), (low, high) = TRAY_X, TRAY_Y, TRAY_Z
    wall, colour = 0.006, mix(paints.table, paints.jaw, 0.25)
    yield box((x0, x1), (y0, y1), (low, low + 0.004), dimmed(colour, 0.55), "tray")
    yield box((x0, x1), (y1 - wall, y1), (low, high), colour, "tray")
    yield box((x0, x0 + wall), (y0, y1), (low, high), colour, "tray")
    yield box((x1 - wall, x1), (y0, y1), (low, high), colour, "tray")
    yield box((x0, x1), (y0, y0 + wall), (low, high), colour, "tray")


def _track(high_deg: float, paints: Paints) -> Iterator[Solid]:
    """Yield the track on which the pivot swings, to the head's greatest mitre, on a leg at its end."""
    steps, high = 6, radians(high_deg) + 0.08
    low_r, high_r = PIVOT_Y - 0.045, PIVOT_Y + 0.045
    for step in range(steps):
        start, end = (-0.08 + (high + 0.08) * each / steps for each in (step, step + 1))
        ring = tuple(
            (-radius * sin(angle), radius * cos(angle))
            for radius, angle in ((low_r, start), (high_r, start), (high_r, end), (low_r, end))
        )
        yield prism(ring, 2, -0.05, -0.022, paints.base, "pivot")
    x, y = -PIVOT_Y * sin(high), PIVOT_Y * cos(high)
    yield box((x - 0.03, x + 0.03), (y - 0.03, y + 0.03), (FLOOR_Z, -0.05), paints.dark, "pivot")


def _outfeed(paints: Paints) -> Iterator[Solid]:
    for x in (0.07, 0.62, 1.3):
        for y in (FRONT_Y + 0.03, 0.0):
            yield box(
                (x, x + 0.03),
                (y - 0.014, y + 0.014),
                (FLOOR_Z, TABLE_Z - 0.03),
                paints.dark,
                "outfeed",
            )
    yield box(
        (0.026, OUTFEED_END), (FRONT_Y, 0.05), (TABLE_Z - 0.03, TABLE_Z), paints.table, "outfeed"
    )


def _supplies(paints: Paints) -> Iterator[Solid]:
    low, high = SUPPLY_Y
    for x, half, top, part in (
        (AIR_X, 0.030, -0.12, "air"), (OIL_X, 0.045, -0.14, "oil"), (TANK_X, 0.060, -0.17, "coolant"),
    ):  # fmt: skip
        yield box((x - half, x + half), (low, high), (FLOOR_Z, top), paints.base, part)
    yield box(
        (CABINET_X - 0.062, CABINET_X + 0.062),
        (low, high),
        (FLOOR_Z, -0.06),
        paints.desk,
        "cabinet",
    )


def _desk(paints: Paints) -> Iterator[Solid]:
    (x0, x1), (y0, y1), (low, high) = DESK_X, DESK_Y, DESK_Z
    middle = (x0 + x1) / 2
    yield box(
        (middle - 0.03, middle + 0.03),
        (y0 + 0.04, y1),
        (FLOOR_Z, low - 0.04),
        paints.dark,
        "console",
    )
    slope = ((y0, low - 0.04), (y1, low - 0.04), (y1, high), (y0, low))
    yield prism(slope, 0, x0, x1, paints.desk, "console")


def rope(*, pulled: bool) -> list[Spot]:
    """Return the trip line along the infeed: taut, or hanging between its posts once it was pulled."""
    line: list[Spot] = []
    for start, end in pairwise((INFEED_END, *ROPE_POSTS)):
        for step in range(9):
            share = step / 8
            sag = 0.075 * (1.0 - (2 * share - 1) ** 2) if pulled else 0.0
            line.append((start + (end - start) * share, ROPE_Y - sag * 0.4, ROPE_Z - sag))
    return line


def _paint_rope(painter: Painter, *, pulled: bool) -> None:
    places = painter.places(rope(pulled=pulled))
    painter.line(places, ROPE, wide=max(round(painter.long(0.006) / painter.fine), 2))
    lit = [(x, y - painter.fine) for x, y in places]
    painter.line(lit, mix(ROPE, (255, 255, 255), 0.25))


def stop_at() -> Spot:
    """Return where the emergency stop is on the console."""
    (x0, x1), (y0, y1), (low, high) = DESK_X, DESK_Y, DESK_Z
    return x0 + (x1 - x0) * 0.79, y0 + (y1 - y0) * 0.71, low + (high - low) * 0.71


def stop_spots() -> list[Spot]:
    """Return corners of the room that it takes."""
    x, y, z = stop_at()
    return [
        (x + a, y + b, z + c) for a in (-0.027, 0.027) for b in (-0.02, 0.02) for c in (0.0, 0.022)
    ]


_Four = tuple[int, int, int, int]


def paint_room(
    surface: Surface, camera: Camera, sizes: Sizes, paints: Paints, *, wet: bool, pulled: bool
) -> None:
    """Paint what stands still on a surface as large as a camera's picture."""
    area, clear = (
        (each.left, each.top, each.width, each.height) for each in (camera.area, camera.clear)
    )
    surface.blit(baked(camera.sight, area, clear, sizes, paints, wet, pulled), (0, 0))


@lru_cache(maxsize=4)
def baked(
    sight: Sight, place: _Four, clear: _Four, sizes: Sizes, paints: Paints, wet: bool, pulled: bool
) -> Surface:
    """Return the picture of what stands still, which nobody may paint on."""
    area = Rect(place)
    camera = Camera(sight, area, Rect(clear))
    large = Surface((area.width * FINE, area.height * FINE))
    painter = Painter(large, camera, area.topleft, FINE)
    _room(painter, paints)
    if wet:
        paint_puddle(painter, paints)
    solids = back_to_front(standing(sizes, paints), camera)
    for solid in solids:
        _throws(painter, solid)
    for solid in solids:
        painter.solid(solid)
        _marks(painter, solid, paints, sizes)
    _paint_rope(painter, pulled=pulled)
    return pygame.transform.smoothscale(large, area.size)


def _room(painter: Painter, paints: Paints) -> None:
    """Paint wall and floor, each paler towards where they meet, and the yellow line round the saw."""
    surface = painter.surface
    wide, high = surface.get_size()
    corner = painter.at((0.0, _WALL_Y, FLOOR_Z))[1]
    slope = painter.at((1.0, _WALL_Y, FLOOR_Z))[1] - corner
    along = painter.at((1.0, 0.0, 0.0))[0] - painter.at((0.0, 0.0, 0.0))[0]
    ramp = Surface((1, 64))
    for step in range(64):
        ramp.set_at((0, step), mix(paints.wall, paints.wall_low, step / 63))
    surface.blit(pygame.transform.smoothscale(ramp, (wide, high)), (0, 0))
    at_zero = painter.at((0.0, _WALL_Y, FLOOR_Z))[0]
    left = corner - at_zero * slope / along
    right = corner + (wide - at_zero) * slope / along
    for step in range(24):  # the floor, in strips that grow lighter towards us
        drop = high * step / 24
        colour = mix(paints.floor_far, paints.floor, min(step / 14, 1.0))
        pygame.draw.polygon(
            surface,
            colour,
            ((0, left + drop), (wide, right + drop), (wide, 3 * high), (0, 3 * high)),
        )
    _fence(painter, paints)
    for y in _LANE_Y:
        spots = (
            (-3.0, y, FLOOR_Z),
            (3.0, y, FLOOR_Z),
            (3.0, y + 0.03, FLOOR_Z),
            (-3.0, y + 0.03, FLOOR_Z),
        )
        pygame.draw.polygon(surface, mix(paints.floor, paints.lane, 0.75), painter.places(spots))


def _fence(painter: Painter, paints: Paints) -> None:
    """Paint the fence behind the saw: posts, two rails and the bars between them, far and dim."""
    y, low, high = _FENCE_Y, FLOOR_Z + 0.06, FLOOR_Z + 0.62
    bars, rails = mix(paints.floor_far, paints.dark, 0.42), mix(paints.floor_far, paints.dark, 0.75)
    x = -3.0
    while x < 3.0:
        painter.line(painter.places([(x, y, low), (x, y, high)]), bars)
        x += 0.05
    for z in (low, high):
        painter.line(painter.places([(-3.0, y, z), (3.0, y, z)]), rails, wide=2)
    x = -3.0
    while x < 3.0:
        post = [
            (x, y, FLOOR_Z),
            (x + 0.03, y, FLOOR_Z),
            (x + 0.03, y, high + 0.03),
            (x, y, high + 0.03),
        ]
        painter.face(painter.places(post), rails)
        x += 0.6


def paint_puddle(painter: Painter, paints: Paints) -> None:
    """Paint coolant on the floor, before the tank and behind the outfeed: sheets with a bright edge."""
    for middle, half in (((-0.78, -0.56), (0.34, 0.13)), ((0.30, 0.76), (0.26, 0.12))):
        spots: list[Spot] = []
        for step in range(40):
            angle = 2 * pi * step / 40
            far = 1.0 + 0.14 * sin(3 * angle) + 0.08 * cos(5 * angle)
            x, y = middle[0] + half[0] * far * cos(angle), middle[1] + half[1] * far * sin(angle)
            spots.append((x, y, FLOOR_Z))
        places = painter.places(spots)
        pygame.draw.polygon(painter.surface, mix(paints.floor, paints.coolant, 0.34), places)
        painter.line(places, mix(paints.floor, paints.coolant, 0.8), closed=True, wide=2)
        for share, part in ((0.72, spots[4:12]), (0.5, spots[5:9])):
            gloss = [
                (middle[0] + (x - middle[0]) * share, middle[1] + (y - middle[1]) * share, z)
                for x, y, z in part
            ]
            painter.line(painter.places(gloss), paints.coolant, wide=2)


def _throws(painter: Painter, solid: Solid) -> None:
    """Paint the shadow of what stands on the floor."""
    if min(point[2] for point in solid.points) > FLOOR_Z + 1e-6:
        return
    xs = [point[0] for point in solid.points]
    ys = [point[1] for point in solid.points]
    x0, x1, y0, y1 = min(xs) - 0.02, max(xs) + 0.05, min(ys) - 0.03, max(ys) + 0.02
    painter.shadow([(x0, y0, FLOOR_Z), (x1, y0, FLOOR_Z), (x1, y1, FLOOR_Z), (x0, y1, FLOOR_Z)])


def _marks(painter: Painter, solid: Solid, paints: Paints, sizes: Sizes) -> None:
    """Paint what is on a solid: doors, slots, the emergency stop, palm keys."""
    if (
        solid.part == "console"
        and len(solid.points) == 8
        and max(p[2] for p in solid.points) > DESK_Z[0]
    ):
        _panel(painter, paints)
    elif solid.part == "cabinet":
        _door(painter, paints, CABINET_X - 0.052, CABINET_X + 0.052, (FLOOR_Z + 0.015, -0.072))
    elif solid.part == "base" and solid.colour == paints.base:
        _door(painter, paints, -0.39, -0.14, (FLOOR_Z + 0.055, -0.085), y=-0.301)
        _stripes(painter, paints, sizes)
    elif solid.part == "outfeed" and max(point[2] for point in solid.points) > TABLE_Z - 1e-6:
        for y in (-0.30, -0.21, -0.12, -0.03):
            slot = [
                (0.03, y, TABLE_Z),
                (OUTFEED_END, y, TABLE_Z),
                (OUTFEED_END, y + 0.012, TABLE_Z),
                (0.03, y + 0.012, TABLE_Z),
            ]
            pygame.draw.polygon(
                painter.surface, mix(paints.table, paints.dark, 0.7), painter.places(slot)
            )


def _door(
    painter: Painter,
    paints: Paints,
    x0: float,
    x1: float,
    z: tuple[float, float],
    y: float = SUPPLY_Y[0] - 0.001,
) -> None:
    corners = [(x0, y, z[0]), (x1, y, z[0]), (x1, y, z[1]), (x0, y, z[1])]
    painter.line(painter.places(corners), mix(paints.dark, (0, 0, 0), 0.25), closed=True, wide=1)
    grip = [(x1 - 0.012, y, (z[0] + z[1]) / 2 - 0.02), (x1 - 0.012, y, (z[0] + z[1]) / 2 + 0.02)]
    painter.line(painter.places(grip), paints.roller, wide=3)


def _stripes(painter: Painter, paints: Paints, sizes: Sizes) -> None:
    """Paint the edge under the band in warning stripes, subdued."""
    y, z = -0.301, (-0.075, -0.06)
    for step in range(4):
        x = 0.02 + step * 0.035
        spots = [(x, y, z[0]), (x + 0.017, y, z[0]), (x + 0.026, y, z[1]), (x + 0.009, y, z[1])]
        pygame.draw.polygon(painter.surface, mix(paints.base, _YELLOW, 0.55), painter.places(spots))


def _panel(painter: Painter, paints: Paints) -> None:
    """Paint what is on the console: screen, palm keys, and the emergency stop on its yellow field."""
    (x0, x1), (y0, y1), (low, high) = DESK_X, DESK_Y, DESK_Z

    def on(across: float, deep: float) -> Spot:
        return x0 + (x1 - x0) * across, y0 + (y1 - y0) * deep, low + (high - low) * deep + 0.0005

    screen = [on(0.08, 0.52), on(0.55, 0.52), on(0.55, 0.90), on(0.08, 0.90)]
    pygame.draw.polygon(painter.surface, mix(paints.dark, (0, 0, 0), 0.4), painter.places(screen))
    for line in range(3):
        deep = 0.82 - line * 0.10
        painter.line(
            painter.places([on(0.13, deep), on(0.42 - 0.08 * (line % 2), deep)]), paints.coolant
        )
    field = [on(0.64, 0.50), on(0.94, 0.50), on(0.94, 0.92), on(0.64, 0.92)]
    pygame.draw.polygon(painter.surface, _YELLOW, painter.places(field))
    for across in (0.16, 0.84):
        x, y, z = on(across, 0.24)
        painter.solid(
            cylinder(2, (x, y), 0.016, (z, z + 0.012), mix(paints.dark, (0, 0, 0), 0.35), "console")
        )


def mushroom(painter: Painter, spot: Spot, *, pressed: bool) -> None:
    """Paint the red head of an emergency stop; latched in it is sunk, a white ring round it."""
    x, y, z = spot
    if pressed:
        painter.solid(cylinder(2, (x, y), 0.024, (z, z + 0.001), (246, 248, 250), "stop", 24))
        painter.solid(cylinder(2, (x, y), 0.019, (z + 0.001, z + 0.007), STOP_RED, "stop", 24))
        return
    painter.solid(cylinder(2, (x, y), 0.010, (z, z + 0.012), STOP_RED, "stop", 16))
    painter.solid(cylinder(2, (x, y), 0.019, (z + 0.010, z + 0.022), RED, "stop", 24))
