"""Dimension lines as on a drawing: a line between two places, arrowheads, a number on it."""

from math import atan2, cos, hypot, pi, sin

from pygame import Rect

from sim.view.kit.palette import Colour
from sim.view.kit.pen import Pen, Point


def arrow(pen: Pen, tip: Point, angle: float, colour: Colour) -> None:
    """Draw an arrowhead whose tip points along an angle, rad, y down."""
    long, half = pen.px(0.5), 0.28
    left = (tip[0] - long * cos(angle - half), tip[1] - long * sin(angle - half))
    right = (tip[0] - long * cos(angle + half), tip[1] - long * sin(angle + half))
    pen.shape([tip, left, right], colour)


def dimension(
    pen: Pen,
    start: Point,
    end: Point,
    words: str,
    colour: Colour,
    *,
    within: Rect,
    beside: str = "middle",
    title: str = "",
) -> Rect:
    """Draw a dimension between two places; return where its words went.

    `beside` puts the words in the middle of the line, or to the `left` or `right` of it; they stay
    inside `within`. A title stands over the words. Where there is no room at the left, both stand in
    one line in the upper left corner.
    """
    angle = atan2(end[1] - start[1], end[0] - start[0])
    long = hypot(end[0] - start[0], end[1] - start[1])
    pen.line(start, end, colour)
    if long > pen.px(1.3):
        arrow(pen, end, angle, colour)
        arrow(pen, start, angle + pi, colour)
    wide, high = pen.letters.figures_width(words, "small"), pen.letters.line("small")
    pad = pen.px(0.3)
    named = pen.letters.width(title, "fine")
    place = Rect(0, 0, max(wide, named) + 2 * pad, high)
    place.center = (round((start[0] + end[0]) / 2), round((start[1] + end[1]) / 2))
    above = bool(title)
    if beside == "right":
        place.left = round(max(start[0], end[0])) + pad
    elif beside == "left":
        place.right = round(min(start[0], end[0])) - pad
        if place.left < within.left:
            above = False
            place.width = wide + (named + pad if title else 0) + 2 * pad
            place.topleft = within.topleft
    elif long < place.width + pen.px(1.2) and abs(sin(angle)) < 0.5:
        place.left = round(max(start[0], end[0])) + pad
    place.clamp_ip(within)
    pen.fill(place, pen.palette.paper)
    if not title:
        pen.figures(words, place, colour, role="small", align="centre")
        return place
    over = Rect(place.left + pad, place.top, named, high)
    number = Rect(place.right - pad - wide, place.top, wide, high)
    if above:
        over = Rect(place.left, place.top - high, place.width, high)
        pen.fill(over, pen.palette.paper)
    pen.text(title, over, pen.palette.soft, role="fine", align="centre" if above else "left")
    pen.figures(words, number, colour, role="small")
    return place
