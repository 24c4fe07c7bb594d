"""Our sign, drawn: a bar, the kerf through it with the band in it, and the piece beyond. Also the window's icon."""

from typing import Final

import pygame
from pygame import Rect, Surface

from sim.view.kit.palette import CALM, Colour, mix

_SIDE: Final = 256  # px; whoever shows it makes it smaller
_FINE: Final = 2  # times as large it is drawn, so that its edges are smooth
_TEETH: Final = 5


def icon(side: int = _SIDE) -> Surface:
    """Return the icon: two bars on a dark tile, the band between them with its teeth to the left."""
    large = Surface((side * _FINE, side * _FINE), pygame.SRCALPHA)
    unit = side * _FINE / 16

    def box(
        x: float, y: float, wide: float, high: float, colour: Colour, round_: float = 0
    ) -> Rect:
        place = Rect(round(x * unit), round(y * unit), round(wide * unit), round(high * unit))
        pygame.draw.rect(large, colour, place, border_radius=round(round_ * unit))
        return place

    box(0, 0, 16, 16, CALM.panel, 3)
    light = mix(CALM.steel, CALM.white, 0.45)
    for left, wide in ((1.2, 7.0), (10.6, 4.2)):
        box(left, 4.6, wide, 6.8, CALM.steel, 0.6)
        box(left + 0.5, 5.2, wide - 1.0, 1.3, light, 0.5)
    box(9.0, 1.2, 0.9, 13.6, CALM.orange, 0.2)
    step = 13.6 / _TEETH
    for tooth in range(_TEETH):
        top = 1.2 + tooth * step
        points = [(9.05, top + 0.15 * step), (8.15, top + 0.85 * step), (9.05, top + 0.85 * step)]
        pygame.draw.polygon(large, CALM.orange, [(x * unit, y * unit) for x, y in points])
    return pygame.transform.smoothscale(large, (side, side))
