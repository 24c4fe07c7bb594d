"""Chips and coolant at the saw in the round: what flies at this moment, and what has piled up in the tray.

No chip is remembered: where it is follows from its number and from simulated time.
"""

from math import sin
from typing import Final

import pygame
from pygame import Surface

from sim.session.session import Session
from sim.trade.chips import Form
from sim.view.kit.palette import mix
from sim.view.picture.chips import chance
from sim.view.picture.drawn import shown_chips, shown_removal_mm3_s
from sim.view.picture.round.camera import Camera, Place
from sim.view.picture.round.colours import Paints
from sim.view.picture.round.cut import chip_colour, chip_pictures
from sim.view.picture.round.on_head import On
from sim.view.picture.round.shading import Painter, dimmed
from sim.view.picture.round.thing import Thing
from sim.view.play.motion import running_s

TRAY_X: Final = (0.035, 0.145)
TRAY_Y: Final = (0.105, 0.275)
TRAY_Z: Final = (-0.055, -0.012)
_MOST: Final = 26
_FULL_MM3_S: Final = 700.0
_LIFE_S: Final = 0.8
_SPREAD: Final = 0.6180339887  # of a life from chip to chip: however many fly, each keeps its place
_HEAP_STEPS: Final = 12  # cuts, after which the heap grows no more
_HEAP_CHIPS: Final = 16  # a step
_LARGER: Final = 1.7  # chips than they are, to be told by their form


def paint_spray(
    surface: Surface, camera: Camera, session: Session, paints: Paints, nozzle: tuple[On, Place]
) -> None:
    """Draw what flies and flows.

    Args:
        surface: To draw on.
        camera: Before which.
        session: Whose saw.
        paints: Colours.
        nozzle: Leads from a place on the head to the surface, and where along the band the nozzle is.
    """
    plant = session.saw.plant
    edge_m = max(plant.head.place.position, 0.0)
    now_s = running_s(session)
    if plant.coolant.flowing:
        _ribbon(surface, paints, nozzle, now_s)
    removal = shown_removal_mm3_s(session)
    if removal <= 0.0:
        return
    look = shown_chips(session)
    pictures = chip_pictures(look, round(camera.px_per_m * _LARGER))
    count = round(_MOST * min(removal / _FULL_MM3_S + 0.2, 1.0))
    if look.form == Form.POWDER:
        count *= 2
    flying: list[tuple[Surface, Place]] = []
    for index in range(count):
        phase = now_s / _LIFE_S + index * _SPREAD
        age = (phase % 1.0) * _LIFE_S
        luck, other = chance(index * 7919 + int(phase)), chance(index * 104729 + int(phase))
        y = 0.012 + (0.05 + 0.16 * luck) * age
        z = edge_m + 0.004 + 0.02 * other * age - 0.16 * age * age
        if z < -0.045:
            continue
        place = camera.at(0.010 + 0.06 * (other - 0.2) * age, y, z)
        flying.append((pictures[(index + int(phase)) % len(pictures)], place))
    surface.fblits(flying)


def _ribbon(surface: Surface, paints: Paints, nozzle: tuple[On, Place], now_s: float) -> None:
    """Draw the coolant that runs from the nozzle on to the band and off its teeth."""
    on, (arm_y, high_z) = nozzle
    for strand in range(3):
        points = []
        for step in range(8):
            share = step / 7
            wave = 0.0012 * sin(now_s * 11.0 - share * 6.0 + strand * 2.0)
            y = arm_y + 0.010 + (0.012 + 0.014 * strand) * share
            points.append(
                on(0.016 - 0.008 * share + wave, y, high_z * (1.0 - share**1.4) - 0.012 * share)
            )
        pale = mix(paints.coolant, (255, 255, 255), 0.3 * (strand % 2))
        pygame.draw.lines(surface, pale, False, points, 2)


def heap_face(session: Session) -> tuple[int, Form, str]:
    """Return how much lies in the tray, by cuts, and how it looks."""
    look = shown_chips(session)
    return min(len(session.saw.cuts), _HEAP_STEPS), look.form, look.colour


def heap(session: Session) -> Thing | None:
    """Return what has piled up in the tray since the saw was started, None for nothing.

    Each chip has the form and the colour of the chips that were thrown last.
    """
    face = heap_face(session)
    step = face[0]
    if not step:
        return None
    look = shown_chips(session)
    colour = chip_colour(look)
    (x0, x1), (y0, y1) = TRAY_X, TRAY_Y
    low, high = TRAY_Z[1] - 0.010, 0.012 + 0.026 * step / _HEAP_STEPS
    far = 0.45 + 0.5 * step / _HEAP_STEPS

    def paint(painter: Painter) -> None:
        mid_x, mid_y = (x0 + x1) / 2, (y0 + y1) / 2
        half_x, half_y = far * (x1 - x0) / 2 - 0.008, far * (y1 - y0) / 2 - 0.008
        rim = [
            (mid_x + half_x * a, mid_y + half_y * b, low)
            for a, b in ((-1, -0.6), (-0.6, -1), (0.6, -1), (1, -0.6), (1, 0.6), (0.6, 1), (-0.6, 1), (-1, 0.6))
        ]  # fmt: skip
        top = (mid_x, mid_y, low + high)
        for number, start in enumerate(rim):
            side = painter.places([start, rim[(number + 1) % len(rim)], top])
            bright = (0.34, 0.40, 0.52, 0.46, 0.38, 0.34, 0.36, 0.34)[number]
            pygame.draw.polygon(painter.surface, dimmed(colour, bright), side)
        pictures = chip_pictures(look, round(painter.camera.px_per_m * painter.fine * _LARGER))
        found: list[tuple[float, Surface, Place]] = []
        for index in range(step * _HEAP_CHIPS * (2 if look.form == Form.POWDER else 1)):
            a, b = 2 * chance(index * 31 + 5) - 1, 2 * chance(index * 17 + 3) - 1
            up = max(1.0 - max(abs(a), abs(b)), 0.0) * high
            x, y = painter.at((mid_x + half_x * a * 0.95, mid_y + half_y * b * 0.95, low + up))
            picture = pictures[index % len(pictures)]
            wide, tall = picture.get_size()
            found.append((y, picture, (x - wide / 2, y - tall / 2)))
        for _, picture, place in sorted(found, key=lambda each: each[0]):
            painter.surface.blit(picture, place)

    spots = [(x, y, z) for x in TRAY_X for y in TRAY_Y for z in (TRAY_Z[0], TRAY_Z[1] + 0.04)]
    return Thing(("heap", face), lambda: spots, paint)
