"""Chips and coolant at the cut: as many as metal is removed, where each is follows from the time.

No chip is remembered: its place is a function of its number and of simulated time, so a picture is
the same whenever it is drawn.
"""

from math import cos, sin
from typing import Final

import pygame
from pygame import Surface

from sim.session.session import Session
from sim.units import US
from sim.view.kit.pen import Pen, Point
from sim.view.picture.drawn import shown_removal_mm3_s

_MOST: Final = 90
_FULL_MM3_S: Final = 900.0  # removal at which every chip is shown
_LIFE_S: Final = 0.55


def _chance(number: int) -> float:
    """Return a fixed number from 0 to 1 for a chip: a hash, not a draw."""
    mixed = (number * 2654435761) & 0xFFFFFFFF
    mixed ^= mixed >> 13
    mixed = (mixed * 1274126177) & 0xFFFFFFFF
    return (mixed >> 8 & 0xFFFF) / 0xFFFF


def paint_spray(pen: Pen, origin: Point, px_per_m: float, session: Session, *, plan: bool) -> None:
    """Draw the chips that fly at this moment, and the coolant if it flows."""
    now_s = session.saw.clock.now_us / US
    if session.saw.plant.coolant.flowing:
        _coolant(pen, origin, px_per_m, now_s, plan=plan)
    count = round(_MOST * min(shown_removal_mm3_s(session) / _FULL_MM3_S, 1.0))
    if count == 0:
        return
    size = max(round(px_per_m * 0.003), 2)
    chip = Surface((size, size))
    chip.fill(pen.palette.orange)
    places: list[tuple[Surface, tuple[int, int]]] = []
    for index in range(count):
        phase = now_s / _LIFE_S + index / count
        age = (phase % 1.0) * _LIFE_S
        luck = _chance(index * 7919 + int(phase))
        angle = (luck - 0.5) * 1.5 + (0.0 if plan else 0.5)
        speed = 0.16 + 0.2 * _chance(index + 17)
        x = cos(angle) * speed * age
        y = -sin(angle) * speed * age + (0.0 if plan else 0.7 * age * age)
        places.append((chip, (round(origin[0] + x * px_per_m), round(origin[1] + y * px_per_m))))
    pen.surface.fblits(places)


def _coolant(pen: Pen, origin: Point, px_per_m: float, now_s: float, *, plan: bool) -> None:
    blue = pen.palette.blue
    for index in range(14):
        phase = (now_s * 2.2 + index / 14) % 1.0
        side = -1 if index % 2 else 1
        if plan:
            x = origin[0] + px_per_m * 0.004 * side * (1 + 6 * phase)
            y = origin[1] + px_per_m * 0.06 * (_chance(index) - 0.5)
            pygame.draw.line(pen.surface, blue, (x, y), (x + 2 * side, y))
        else:
            x = origin[0] - px_per_m * (0.05 - 0.03 * phase) * side
            y = origin[1] - px_per_m * (0.02 - 0.06 * phase)
            pygame.draw.line(pen.surface, blue, (x, y), (x - side, y + px_per_m * 0.008), 2)
