"""What is fitted to the head: coolant nozzle, chip brush, and the cylinder that lets the head down.

The nozzle is at the arm's guide, the brush where the band leaves the cut; the cylinder stands on the swivel
and holds the head on its rod, so that more of the rod is seen the higher the head is.
Never here: the band, and what runs.
"""

from collections.abc import Callable, Sequence
from math import cos, pi, sin
from typing import Final

import pygame
from pygame import Surface

from sim.session.session import Session
from sim.units import MM
from sim.view.kit.palette import Colour, mix
from sim.view.picture.drawn import plant_after, plant_of
from sim.view.picture.round.camera import Camera, Place, Spot
from sim.view.picture.round.colours import Paints
from sim.view.picture.round.shading import dimmed
from sim.view.picture.round.sizes import PIVOT_Y
from sim.view.picture.round.work import hull, swung

FEED_X: Final = 0.10
FEED_Y: Final = PIVOT_Y - 0.17
FEED_TOP: Final = 0.055  # of the head, where the rod holds it
_FOOT_Z: Final = -0.052
_BODY_TOP: Final = 0.030
_BODY_R: Final = 0.019
_ROD_R: Final = 0.0075
_TUBE_TONES: Final = (0.62, 0.84, 1.10, 0.90, 0.66, 0.50)
_BRUSH_R: Final = 0.021
_BRUSH_Y: Final = 0.056  # behind the fixed guide
_RING: Final = tuple((cos(step * pi / 10), sin(step * pi / 10)) for step in range(20))
_BRISTLE: Final = (208, 164, 84)
_COPPER: Final = (196, 128, 84)
_HOSE: Final = (52, 60, 70)

On = Callable[[float, float, float], Place]
"""From a place on the head, in its own axes, to the surface."""


class Sketch:
    """A surface on which something is drawn by places of its own.

    Args:
        surface: To draw on.
        on: Leads from a place to the surface.
        px_per_m: Of the surface.
    """

    def __init__(self, surface: Surface, on: On, px_per_m: float) -> None:
        self.surface, self.on, self._px = surface, on, px_per_m

    def long(self, length_m: float) -> int:
        """Return a length in px, at least one."""
        return max(round(length_m * self._px), 1)

    def line(self, spots: Sequence[Spot], colour: Colour, wide_m: float) -> None:
        """Draw a rounded line."""
        places = [self.on(*spot) for spot in spots]
        wide = self.long(wide_m)
        pygame.draw.lines(self.surface, colour, False, places, wide)
        if wide > 2:
            for place in places:
                pygame.draw.circle(self.surface, colour, place, wide / 2)

    def shape(self, spots: Sequence[Spot], colour: Colour) -> None:
        """Fill an outline."""
        pygame.draw.polygon(self.surface, colour, [self.on(*spot) for spot in spots])


def nozzle_tip(arm_y: float) -> Spot:
    """Return where coolant leaves the nozzle, on the head; the free strand begins at the arm."""
    return 0.016, arm_y + 0.010, 0.040


def paint_nozzle(sketch: Sketch, arm_y: float, top_z: float, paints: Paints) -> None:
    """Draw the hose down the arm, and the copper pipe that is bent towards the band."""
    x, y, z = nozzle_tip(arm_y)
    back = arm_y - 0.014
    hose = [(0.020, back, top_z), (0.021, back, z + 0.052)]
    pipe = [(0.021, back, z + 0.056), (0.021, back + 0.003, z + 0.022), (x, y, z)]
    sketch.line(hose, _HOSE, 0.0085)
    sketch.line(hose, mix(_HOSE, paints.rod, 0.35), 0.003)
    sketch.line(pipe, dimmed(_COPPER, 0.6), 0.0085)
    sketch.line(pipe, _COPPER, 0.005)
    sketch.line([(x, y, z), (x, y + 0.001, z - 0.001)], dimmed(_COPPER, 0.45), 0.0085)


def brush_face(session: Session) -> tuple[float, bool]:
    """Return how deep the brush is drawn, m, and whether its bristles are gone; in a drill once it was looked at."""
    deep_m = plant_of(session, "band.brush_mm").brush.depth_m
    return round(deep_m / MM, 1) * MM, plant_after(session, "brush").brush.wear >= 1.0


def brush_spots(fixed_y: float) -> list[Spot]:
    """Return corners of the place that the brush takes, on the head."""
    y, z, far = fixed_y + _BRUSH_Y, -0.003 - _BRUSH_R, _BRUSH_R
    return [(0.008, y + dy, z + dz) for dy in (-far, far) for dz in (-far, far + 0.008)]


def paint_brush(sketch: Sketch, fixed_y: float, face: tuple[float, bool]) -> None:
    """Draw the round brush under the band, as deep in its teeth as it is set; bare when it is worn."""
    deep_m, gone = face
    y, z = fixed_y + _BRUSH_Y, -0.003 - _BRUSH_R + min(deep_m, 0.008)
    far = 0.55 * _BRUSH_R if gone else _BRUSH_R
    sketch.line([(0.004, y - 0.004, z), (0.004, fixed_y + 0.014, 0.0)], _HOSE, 0.008)
    ring = [(0.007, y + far * 0.9 * c, z + far * 0.9 * s) for c, s in _RING]
    sketch.shape(ring, dimmed(_BRISTLE, 0.62))
    for step in range(28):
        angle = 2 * pi * step / 28
        end = (0.008, y + far * cos(angle), z + far * sin(angle))
        sketch.line([(0.008, y, z), end], dimmed(_BRISTLE, 0.8 if step % 2 else 1.0), 0.0018)
    hub = 0.38 * _BRUSH_R
    sketch.shape([(0.010, y + hub * c, z + hub * s) for c, s in _RING], _HOSE)


def feed_area(camera: Camera, mitre_rad: float, top: Place) -> list[Place]:
    """Return corners of the screen that the cylinder takes; `top` is where its rod holds the head."""
    spots = [
        swung(FEED_X + dx, FEED_Y + dy, mitre_rad) for dx in (-0.03, 0.03) for dy in (-0.03, 0.03)
    ]
    return [top, *(camera.at(x, y, z) for x, y in spots for z in (_FOOT_Z, _BODY_TOP))]


def paint_feed(sketch: Sketch, top: Place, paints: Paints, fit: On) -> None:
    """Draw the cylinder on its foot, and its rod up to the head.

    Args:
        sketch: To draw on.
        top: Where the rod holds the head, on the surface.
        paints: Colours.
        fit: From a place on the machine that swings with the head, and does not tilt, to the surface.
    """
    surface = sketch.surface
    foot = [fit(FEED_X + dx, FEED_Y + dy, _FOOT_Z) for dx in (-0.03, 0.03) for dy in (-0.03, 0.03)]
    pygame.draw.polygon(surface, dimmed(paints.base, 0.72), hull(foot))
    x, low = fit(FEED_X, FEED_Y, _FOOT_Z + 0.006)
    _, high = fit(FEED_X, FEED_Y, _BODY_TOP)
    _tube(surface, (x, high), top, sketch.long(_ROD_R), (222, 230, 238))
    _tube(surface, (x, low), (x, high), sketch.long(_BODY_R), paints.head)
    for at in (low, high):
        cap = pygame.Rect(0, 0, 2 * sketch.long(_BODY_R * 1.15), sketch.long(0.010))
        cap.center = (round(x), round(at))
        pygame.draw.ellipse(surface, dimmed(paints.guide, 0.8), cap)
    pygame.draw.circle(surface, dimmed(paints.guide, 0.75), top, sketch.long(0.012))
    pygame.draw.circle(surface, paints.rod, top, sketch.long(0.005))


def _tube(surface: Surface, low: Place, high: Place, radius: int, colour: Colour) -> None:
    """Fill a tube that stands, in strips from light to dark."""
    strips = len(_TUBE_TONES)
    for number, bright in enumerate(_TUBE_TONES):
        left = -radius + 2 * radius * number / strips
        right = -radius + 2 * radius * (number + 1) / strips
        places = [
            (low[0] + left, low[1]), (low[0] + right, low[1]),
            (high[0] + right, high[1]), (high[0] + left, high[1]),
        ]  # fmt: skip
        pygame.draw.polygon(surface, dimmed(colour, bright), places)
