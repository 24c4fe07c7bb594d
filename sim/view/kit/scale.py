"""One scale for both views: metres of the machine to px, and the bar that shows it.

Plan: x along the bar to the right, z across, the rear upwards. End view, seen from the outfeed: z to
the right (the rear), y up.
"""

from dataclasses import dataclass
from typing import Final

import pygame
from pygame import Rect

from sim.view.kit.palette import Colour
from sim.view.kit.pen import Pen, Point
from sim.words.speech import reader

# What each view shows, m.
PLAN_X: Final = (-0.95, 0.62)
PLAN_Z: Final = (-0.47, 0.215)
END_Z: Final = (-0.42, 0.67)
END_Y: Final = (-0.08, 0.52)
_BETWEEN_M: Final = 0.06


@dataclass(frozen=True, slots=True)
class View:
    """One view: where its origin is on the screen, and how many px a metre takes."""

    area: Rect
    x0: float
    y0: float
    px_per_m: float

    def at(self, along_m: float, up_m: float) -> Point:
        """Return the place on the screen of a place on the machine."""
        return self.x0 + along_m * self.px_per_m, self.y0 - up_m * self.px_per_m

    def long(self, length_m: float) -> float:
        """Return a length in px."""
        return length_m * self.px_per_m

    def rect(self, left_m: float, bottom_m: float, right_m: float, top_m: float) -> Rect:
        """Return the rectangle between two corners; never thinner than a px."""
        x1, y1 = self.at(left_m, top_m)
        x2, y2 = self.at(right_m, bottom_m)
        left, top = round(x1), round(y1)
        return Rect(left, top, max(round(x2) - left, 1), max(round(y2) - top, 1))


def two_views(area: Rect, room: Rect) -> tuple[View, View]:
    """Return plan and end view at one scale, as large as `room` allows, drawn inside `area`."""
    wide_plan, wide_end = PLAN_X[1] - PLAN_X[0], END_Z[1] - END_Z[0]
    high_plan, high_end = PLAN_Z[1] - PLAN_Z[0], END_Y[1] - END_Y[0]
    wide = wide_plan + wide_end + _BETWEEN_M
    px = min(room.width / wide, room.height / high_plan)
    spare = room.width - px * wide
    left = room.left + spare / 3
    split = round(left + px * (wide_plan + _BETWEEN_M / 2) + spare / 6)
    plan_area = Rect(area.left, area.top, split - area.left, area.height)
    end_area = Rect(split, area.top, area.right - split, area.height)
    plan_top = room.top + (room.height - px * high_plan) / 2
    end_top = room.top + (room.height - px * high_end) / 2
    plan = View(plan_area, left - PLAN_X[0] * px, plan_top + PLAN_Z[1] * px, px)
    end_left = left + px * (wide_plan + _BETWEEN_M) + spare / 3
    end = View(end_area, end_left - END_Z[0] * px, end_top + END_Y[1] * px, px)
    return plan, end


def paint_grid(pen: Pen, view: View) -> None:
    """Draw the paper's squares of 100 mm."""
    pen.surface.set_clip(view.area)
    step = 0.1
    colour = pen.palette.grid
    for index in range(-30, 31):
        x, y = view.at(index * step, index * step)
        if view.area.left <= x < view.area.right:
            pygame.draw.line(pen.surface, colour, (x, view.area.top), (x, view.area.bottom))
        if view.area.top <= y < view.area.bottom:
            pygame.draw.line(pen.surface, colour, (view.area.left, y), (view.area.right, y))
    pen.surface.set_clip(None)


def paint_scale_bar(pen: Pen, view: View, right: int, bottom: int) -> None:
    """Draw a bar of 200 mm in two halves, with its words."""
    half = view.long(0.1)
    high = max(pen.px(0.3), 4)
    left = right - round(2 * half)
    ink: Colour = pen.palette.soft
    box = Rect(left, bottom - high, round(2 * half), high)
    pen.fill(box, ink)
    pen.fill(Rect(left + 1, bottom - high + 1, round(half) - 1, high - 2), pen.palette.paper)
    line = pen.letters.line("fine")
    words = Rect(left - pen.px(4), bottom - high - line, round(2 * half) + pen.px(4), line)
    pen.text(reader().quantity(200, "mm"), words, ink, role="fine", align="right")
