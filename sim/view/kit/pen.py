"""The pen: one surface with the letters and the colours to draw on it, and the few shapes we use.

Corners are smooth because each is a kept picture of a quarter disc.
"""

from dataclasses import dataclass, field
from functools import lru_cache
from typing import Literal

import pygame
from pygame import Rect, Surface

from sim.view.kit.lettering import Letters
from sim.view.kit.palette import Colour, Palette

Align = Literal["left", "centre", "right"]
Point = tuple[float, float]


@lru_cache(maxsize=256)
def _disc(radius: int, colour: Colour) -> Surface:
    """Return a smooth disc; drawn large and made small."""
    large = Surface((radius * 8, radius * 8), pygame.SRCALPHA)
    large.fill((*colour, 0))
    pygame.draw.circle(large, (*colour, 255), (radius * 4, radius * 4), radius * 4)
    return pygame.transform.smoothscale(large, (radius * 2, radius * 2))


@dataclass
class Kit:
    """What is needed to measure and to draw: letters, colours, and the em in px."""

    letters: Letters
    palette: Palette

    @property
    def em(self) -> float:
        """Height of body text, px."""
        return self.letters.em

    def px(self, ems: float) -> int:
        """Return a length in px."""
        return round(self.em * ems)


@dataclass
class Pen:
    """A kit with a surface under it."""

    surface: Surface
    kit: Kit
    letters: Letters = field(init=False)
    palette: Palette = field(init=False)
    explains: bool = False  # whether words of the trade are marked on this page

    def __post_init__(self) -> None:
        self.letters = self.kit.letters
        self.palette = self.kit.palette

    def px(self, ems: float) -> int:
        """Return a length in px."""
        return round(self.letters.em * ems)

    # Text ---------------------------------------------------------------------------------

    def text(
        self,
        text: str,
        bounds: Rect,
        colour: Colour | None = None,
        *,
        role: str = "body",
        bold: bool = False,
        align: Align = "left",
    ) -> Rect:
        """Draw one line; return its place."""
        ink = colour or self.palette.ink
        return self.letters.put(self.surface, text, bounds, ink, role=role, bold=bold, align=align)

    def figures(
        self,
        text: str,
        bounds: Rect,
        colour: Colour | None = None,
        *,
        role: str = "figure",
        bold: bool = True,
        align: Align = "right",
    ) -> Rect:
        """Draw a number that changes often; return its place."""
        ink = colour or self.palette.ink
        return self.letters.figures(
            self.surface, text, bounds, ink, role=role, bold=bold, align=align
        )

    def block(
        self,
        text: str,
        bounds: Rect,
        colour: Colour | None = None,
        *,
        role: str = "body",
        bold: bool = False,
    ) -> int:
        """Draw wrapped text; return its height, px."""
        ink = colour or self.palette.ink
        return self.letters.block(self.surface, text, bounds, ink, role=role, bold=bold)

    def fitted(
        self,
        text: str,
        bounds: Rect,
        roles: tuple[str, ...],
        colour: Colour | None = None,
        *,
        bold: bool = False,
    ) -> None:
        """Draw a text in the first size in which it fits on one line, else on lines of the last."""
        for role in roles:
            if self.letters.width(text, role, bold) <= bounds.width:
                self.text(text, bounds, colour, role=role, bold=bold)
                return
        role = roles[-1]
        high = self.letters.height(text, role, bounds.width, bold)
        place = Rect(bounds.left, bounds.centery - high // 2, bounds.width, high)
        self.block(text, place, colour, role=role, bold=bold)

    # Shapes -------------------------------------------------------------------------------

    def fill(self, rect: Rect, colour: Colour) -> None:
        """Fill a rectangle."""
        self.surface.fill(colour, rect)

    def box(
        self, rect: Rect, fill: Colour, edge: Colour | None = None, *, radius: float = 0.3,
        width: int = 0,
    ) -> None:  # fmt: skip
        """Fill a rectangle with round corners, with an outline inside it if `edge` is given."""
        reach = max(min(self.px(radius), rect.width // 2, rect.height // 2), 0)
        if edge is None:
            self._round(rect, fill, reach)
            return
        line = width or self.hairline
        self._round(rect, edge, reach)
        self._round(rect.inflate(-2 * line, -2 * line), fill, max(reach - line, 0))

    @property
    def hairline(self) -> int:
        """Width of a thin line, px."""
        return max(self.px(0.09), 1)

    def _round(self, rect: Rect, colour: Colour, reach: int) -> None:
        if reach < 2:
            self.surface.fill(colour, rect)
            return
        surface, disc = self.surface, _disc(reach, colour)
        x, y, w, h = rect
        surface.fill(colour, (x + reach, y, w - 2 * reach, h))
        surface.fill(colour, (x, y + reach, reach, h - 2 * reach))
        surface.fill(colour, (x + w - reach, y + reach, reach, h - 2 * reach))
        surface.blit(disc, (x, y), (0, 0, reach, reach))
        surface.blit(disc, (x + w - reach, y), (reach, 0, reach, reach))
        surface.blit(disc, (x, y + h - reach), (0, reach, reach, reach))
        surface.blit(disc, (x + w - reach, y + h - reach), (reach, reach, reach, reach))

    def disc(self, centre: Point, radius: float, colour: Colour) -> None:
        """Fill a smooth disc."""
        whole = max(round(radius), 1)
        self.surface.blit(
            _disc(whole, colour), (round(centre[0]) - whole, round(centre[1]) - whole)
        )

    def ring(self, centre: Point, radius: float, colour: Colour, width: int = 0) -> None:
        """Draw a smooth circle line."""
        pygame.draw.aacircle(self.surface, colour, centre, radius, width or self.hairline + 1)

    def line(self, start: Point, end: Point, colour: Colour, width: float = 1) -> None:
        """Draw a smooth straight line."""
        if width <= 1:
            pygame.draw.aaline(self.surface, colour, start, end)
        elif start[0] == end[0] or start[1] == end[1]:
            pygame.draw.line(self.surface, colour, start, end, round(width))
        else:
            pygame.draw.aaline(self.surface, colour, start, end, round(width))

    def shape(self, points: list[Point], fill: Colour, edge: Colour | None = None) -> None:
        """Fill a polygon, its outline smooth."""
        pygame.draw.polygon(self.surface, fill, points)
        pygame.draw.aalines(self.surface, edge or fill, True, points)

    def polyline(self, points: list[Point], colour: Colour, *, closed: bool = False) -> None:
        """Draw a smooth line through points."""
        pygame.draw.aalines(self.surface, colour, closed, points)
