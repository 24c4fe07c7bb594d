"""Chips and coolant at the saw in the round: what flies at this moment, and what has piled up in the tray.

No chip is remembered: where it is follows from its number and from simulated time.
"""

from typing import Final

import pygame
from pygame import Surface

from sim.session.session import Session
from sim.trade.chips import Form
from sim.units import US
from sim.view.kit.palette import mix
from sim.view.picture.chips import chance
from sim.view.picture.drawn import plant_of, shown_chips, shown_removal_mm3_s
from sim.view.picture.round.camera import Camera
from sim.view.picture.round.colours import Paints
from sim.view.picture.round.cut import chip_colour
from sim.view.picture.round.shading import Painter, dimmed
from sim.view.picture.round.sizes import Sizes
from sim.view.picture.round.thing import Thing

_MOST: Final = 26
_FULL_MM3_S: Final = 700.0
_LIFE_S: Final = 0.8
_HEAP_STEPS: Final = 12  # cuts, after which the heap grows no more
_HEAP_CHIPS: Final = 14  # a step


def paint_spray(
    surface: Surface, camera: Camera, session: Session, sizes: Sizes, paints: Paints
) -> None:
    """Draw what flies and flows."""
    plant = session.saw.plant
    edge_m = max(plant.head.place.position, 0.0)
    now_s = session.saw.clock.now_us / US
    if plant.coolant.flowing:
        _ribbon(surface, camera, session, paints, min(edge_m, 0.3), now_s)
    removal = shown_removal_mm3_s(session)
    if removal <= 0.0:
        return
    look = shown_chips(session)
    colour = chip_colour(look)
    size = max(round(camera.px_per_m * (0.0022 if look.form == Form.POWDER else 0.0042)), 2)
    count = round(_MOST * min(removal / _FULL_MM3_S + 0.2, 1.0))
    for index in range(count):
        phase = now_s / _LIFE_S + index / count
        age = (phase % 1.0) * _LIFE_S
        luck, other = chance(index * 7919 + int(phase)), chance(index * 104729 + int(phase))
        y = 0.012 + (0.05 + 0.10 * luck) * age
        z = edge_m + 0.004 + 0.02 * other * age - 0.16 * age * age
        if z < -0.045:
            continue
        px, py = camera.at(0.010 + 0.03 * (other - 0.3) * age, y, z)
        shade = colour if index % 3 else dimmed(colour, 0.7)
        surface.fill(shade, (round(px), round(py), size, max(size - 1, 2)))


def _ribbon(
    surface: Surface, camera: Camera, session: Session, paints: Paints, edge_m: float, now_s: float
) -> None:
    """Draw the coolant that runs from the arm's nozzle along the band."""
    machine = session.machine
    span_m = plant_of(session, "band.guide_span_mm").band.guide.span_m
    start_y = machine.fixed_guide_m - span_m + 0.004
    start_z = edge_m + machine.band_width_m * 0.9
    for strand in range(2):
        points = []
        for step in range(7):
            share = step / 6
            wave = 0.0015 * (chance(int(now_s * 30) + strand * 7 + step) - 0.5)
            y = start_y + (0.016 + 0.012 * strand) * share
            z = start_z - (start_z - edge_m + 0.004) * share**1.5
            points.append(camera.at(0.006 + 0.003 * strand + wave, y, z))
        pygame.draw.aalines(
            surface, mix(paints.coolant, (255, 255, 255), 0.3 * strand), False, points
        )


def heap(session: Session) -> Thing | None:
    """Return what has piled up in the tray under the band since the saw was started, None for nothing."""
    step = min(len(session.saw.cuts), _HEAP_STEPS)
    if not step:
        return None
    colour = chip_colour(shown_chips(session))

    def paint(painter: Painter) -> None:
        for index in range(step * _HEAP_CHIPS):
            luck, other = chance(index * 31 + 5), chance(index * 17 + 3)
            high = 0.004 + 0.010 * step / _HEAP_STEPS * (1.0 - abs(2 * luck - 1.0)) * chance(index)
            x, y = painter.at((0.006 + 0.018 * other, -0.02 + 0.07 * luck, -0.02 + high))
            long = max(painter.long(0.0035), 2.0)
            shade = dimmed(colour, 0.62 + 0.38 * chance(index * 3))
            pygame.draw.circle(painter.surface, shade, (x, y), long * 0.6)

    spots = [(x, y, z) for x in (0.0, 0.03) for y in (-0.03, 0.06) for z in (-0.03, 0.0)]
    return Thing(("heap", step, colour), lambda: spots, paint)
