"""Chips and coolant at the cut: as many as metal is removed, where each is follows from the time.

Their shape is their form: powder is dots and many of them, curls are open rings, thick chips are blocks,
torn ones are blocks and splinters. Their colour is their own.

No chip is remembered: its place is a function of its number and of simulated time, so a picture is
the same whenever it is drawn.
"""

from math import cos, sin
from typing import Final

import pygame
from pygame import Surface

from sim.plant.sawing import Chips
from sim.session.session import Session
from sim.trade.chips import Colour, Form
from sim.view.kit.pen import Pen, Point
from sim.view.picture.drawn import shown_chips, shown_removal_mm3_s
from sim.view.play.motion import running_s

_MOST: Final = 90
_FULL_MM3_S: Final = 900.0  # removal at which every chip is shown
_LIFE_S: Final = 0.55
_DUST: Final = 2  # specks of powder for each chip


def chance(number: int) -> float:
    """Return a fixed number from 0 to 1 for a chip: a hash, not a draw."""
    mixed = (number * 2654435761) & 0xFFFFFFFF
    mixed ^= mixed >> 13
    mixed = (mixed * 1274126177) & 0xFFFFFFFF
    return (mixed >> 8 & 0xFFFF) / 0xFFFF


def paint_spray(pen: Pen, origin: Point, px_per_m: float, session: Session, *, plan: bool) -> None:
    """Draw the chips that fly at this moment, and the coolant if it flows."""
    now_s = running_s(session)
    if session.saw.plant.coolant.flowing:
        _coolant(pen, origin, px_per_m, now_s, plan=plan)
    count = round(_MOST * min(shown_removal_mm3_s(session) / _FULL_MM3_S, 1.0))
    if count == 0:
        return
    look = shown_chips(session)
    chip = _chip(pen, look, max(round(px_per_m * 0.003), 2))
    if look.form == Form.POWDER:
        count = min(count * _DUST, _MOST * _DUST)
    places: list[tuple[Surface, tuple[int, int]]] = []
    for index in range(count):
        phase = now_s / _LIFE_S + index / count
        age = (phase % 1.0) * _LIFE_S
        luck = chance(index * 7919 + int(phase))
        angle = (luck - 0.5) * 1.5 + (0.0 if plan else 0.5)
        speed = 0.16 + 0.2 * chance(index + 17)
        x = cos(angle) * speed * age
        y = -sin(angle) * speed * age + (0.0 if plan else 0.7 * age * age)
        places.append((chip, (round(origin[0] + x * px_per_m), round(origin[1] + y * px_per_m))))
    pen.surface.fblits(places)


def _chip(pen: Pen, look: Chips, size: int) -> Surface:
    """Return one chip as it looks."""
    colours = {
        Colour.METAL: pen.palette.cut,
        Colour.STRAW: pen.palette.yellow,
        Colour.BLUE: pen.palette.blue,
    }
    colour = colours[look.colour]
    if look.form == Form.POWDER:
        chip = Surface((1, 1))
        chip.fill(colour)
        return chip
    if look.form == Form.CURLS:
        across = size + 2
        chip = Surface((across, across), pygame.SRCALPHA)
        pygame.draw.arc(chip, colour, (0, 0, across, across), 0.6, 5.4, max(size // 3, 1))
        return chip
    chip = Surface((2 * size, size + 1), pygame.SRCALPHA)
    chip.fill(colour)
    if look.form == Form.TORN:
        pygame.draw.line(chip, pen.palette.red, (0, 0), (2 * size - 1, size), 1)
    return chip


def _coolant(pen: Pen, origin: Point, px_per_m: float, now_s: float, *, plan: bool) -> None:
    blue = pen.palette.blue
    for index in range(14):
        phase = (now_s * 2.2 + index / 14) % 1.0
        side = -1 if index % 2 else 1
        if plan:
            x = origin[0] + px_per_m * 0.004 * side * (1 + 6 * phase)
            y = origin[1] + px_per_m * 0.06 * (chance(index) - 0.5)
            pygame.draw.line(pen.surface, blue, (x, y), (x + 2 * side, y))
        else:
            x = origin[0] - px_per_m * (0.05 - 0.03 * phase) * side
            y = origin[1] - px_per_m * (0.02 - 0.06 * phase)
            pygame.draw.line(pen.surface, blue, (x, y), (x - side, y + px_per_m * 0.008), 2)
