"""Tags along the upper and lower edges of the views, each with a line to its thing on the machine.

Tags of one edge stand in a row, as near to their things as they go without overlap: the sum of the
squares of their distances is the least that it can be. Pooling neighbours that push each other finds
it.
"""

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass

from pygame import Rect

from sim.view.kit.pen import Kit, Pen
from sim.view.kit.scale import View
from sim.view.kit.widget import Act, Paint, Widget

# Where a thing is: view (0 plan, 1 end), metres along, metres up, and on which edge its tag is.
Anchor = tuple[int, float, float, str]


@dataclass(frozen=True, slots=True)
class Tag:
    """One tag before it has a place."""

    name: str
    anchor: Anchor
    width: int  # with everything on it, px
    narrow: int  # with nothing but its mark, px
    paint: Callable[[bool], Paint]  # given whether there is room for everything
    face: Callable[[], Hashable]
    click: Callable[[], None]
    label: str


@dataclass(frozen=True, slots=True)
class Leader:
    """The line from a tag to its thing."""

    start: tuple[float, float]
    end: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Shelf:
    """One edge of one view."""

    left: int
    right: int
    top: int
    height: int
    hangs: bool  # from the upper edge, so that its lines go down


def paint_leaders(pen: Pen, leaders: Sequence[Leader]) -> None:
    """Draw the lines; they go behind the machine."""
    for line in leaders:
        pen.line(line.start, line.end, pen.palette.hair)


def paint_spots(pen: Pen, leaders: Sequence[Leader]) -> None:
    """Mark the things themselves; the marks go in front."""
    for line in leaders:
        pen.disc(line.end, max(pen.px(0.16), 2), pen.palette.edge)


def shelved(
    kit: Kit, views: tuple[View, View], tags: Sequence[Tag], *, height: int, short: bool
) -> tuple[list[Widget], tuple[list[Leader], list[Leader]]]:
    """Return the tags in their places, and each view's lines.

    Args:
        kit: Letters and colours.
        views: Plan and end view.
        tags: What is to be placed.
        height: Of a tag, px.
        short: Whether to leave off all but the mark on every tag.
    """
    placed: list[Widget] = []
    leaders: tuple[list[Leader], list[Leader]] = ([], [])
    for index, view in enumerate(views):
        for edge in ("top", "bottom"):
            here = [tag for tag in tags if tag.anchor[0] == index and tag.anchor[3] == edge]
            here.sort(key=lambda tag: tag.anchor[1])
            shelf = _shelf(kit, view, edge, height)
            rects, full = _places(kit, view, here, shelf, short=short)
            for tag, rect in zip(here, rects, strict=False):
                placed.append(_widget(tag, rect, full=full))
                start = (rect.centerx, rect.bottom if shelf.hangs else rect.top)
                leaders[index].append(Leader(start, view.at(tag.anchor[1], tag.anchor[2])))
    return placed, leaders


def _widget(tag: Tag, rect: Rect, *, full: bool) -> Widget:
    act = Act(click=tag.click)
    return Widget(tag.name, rect, tag.paint(full), tag.face, act, label=tag.label, floats=True)


def _shelf(kit: Kit, view: View, edge: str, height: int) -> Shelf:
    margin, area = kit.px(0.3), view.area
    hangs = edge == "top"
    top = area.top + margin if hangs else area.bottom - margin - height
    return Shelf(area.left + margin, area.right - margin, top, height, hangs)


def _places(
    kit: Kit, view: View, tags: Sequence[Tag], shelf: Shelf, *, short: bool
) -> tuple[list[Rect], bool]:
    """Return a place for each, as far as they fit, and whether there is room for everything."""
    gap = kit.px(0.3)
    room = shelf.right - shelf.left
    wide = [tag.width for tag in tags]
    full = not short and sum(wide) + gap * (len(tags) - 1) <= room
    if not full:
        wide = [tag.narrow for tag in tags]
        while wide and sum(wide) + gap * (len(wide) - 1) > room:
            wide.pop()
    wanted = [view.at(t.anchor[1], 0)[0] - w / 2 for t, w in zip(tags, wide, strict=False)]
    lefts = spread(wanted, wide, gap, shelf.left, shelf.right)
    return [
        Rect(left, shelf.top, wide_px, shelf.height)
        for left, wide_px in zip(lefts, wide, strict=True)
    ], full


def spread(
    wanted: Sequence[float], wide: Sequence[int], gap: int, low: int, high: int
) -> list[int]:
    """Return left edges nearest to the wanted ones without overlap, inside the limits.

    Args:
        wanted: Left edges as one would have them, in ascending order of their things.
        wide: Width of each.
        gap: Between two.
        low: Leftmost left edge.
        high: Rightmost right edge.
    """
    before = [sum(wide[:i]) + gap * i for i in range(len(wide))]
    pools: list[tuple[float, int]] = []  # mean of what its members want, and how many they are
    for value in (want - shift for want, shift in zip(wanted, before, strict=True)):
        mean, count = value, 1
        while pools and pools[-1][0] > mean:
            other, many = pools.pop()
            mean, count = (mean * count + other * many) / (count + many), count + many
        pools.append((mean, count))
    flat = [mean for mean, count in pools for _ in range(count)]
    most = high - (before[-1] + wide[-1]) if wide else 0
    return [
        round(min(max(value, low), max(most, low))) + shift
        for value, shift in zip(flat, before, strict=True)
    ]
