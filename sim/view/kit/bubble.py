"""A sentence beside a widget: why a key was refused, or what a thing is.

It lies over its neighbours for a moment and never over the widget it speaks of, nor over the one that
it is to spare.
"""

from dataclasses import dataclass

from pygame import Rect

from sim.view.kit.layout import inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import symbol


@dataclass(frozen=True, slots=True)
class Bubble:
    """What is said, beside which widget, and over which it must not lie."""

    anchor: str
    text: str
    refusal: bool = False
    spares: str = ""


def place_bubble(
    kit: Kit, bubble: Bubble, anchor: Rect, screen: Rect, spared: Rect | None = None
) -> Rect:
    """Return where the bubble goes: above its widget, or below or beside it, inside the screen."""
    width = min(kit.px(24), screen.width - kit.px(2))
    pad = kit.px(0.6)
    mark = kit.px(1.6) if bubble.refusal else 0
    text_width = width - 2 * pad - mark
    lines = kit.letters.wrap(bubble.text, "small", text_width)
    longest = max((kit.letters.width(line, "small") for line in lines), default=0)
    width = min(width, longest + 2 * pad + mark + 2)
    height = len(lines) * kit.letters.line("small") + 2 * pad
    gap = kit.px(0.4)
    inside = inset(screen, gap)
    left, top = anchor.centerx - width // 2, anchor.centery - height // 2
    corners = (
        (left, anchor.top - gap - height), (left, anchor.bottom + gap),
        (anchor.left - gap - width, top), (anchor.right + gap, top),
    )  # fmt: skip
    places = [Rect(corner, (width, height)).clamp(inside) for corner in corners]
    free = [each for each in places if not each.colliderect(anchor)]
    clear = [each for each in free if spared is None or not each.colliderect(spared)]
    return (clear or free or places)[0]


def paint_bubble(pen: Pen, bubble: Bubble, anchor: Rect, place: Rect) -> None:
    """Draw it, with a wedge that points at its widget."""
    palette = pen.palette
    edge = palette.yellow if bubble.refusal else palette.edge
    pen.box(place, palette.sunk, edge, radius=0.35, width=pen.hairline + 1)
    x = min(max(anchor.centerx, place.left + pen.px(0.8)), place.right - pen.px(0.8))
    reach = pen.px(0.35)
    if place.bottom <= anchor.top:
        pen.shape(
            [
                (x - reach, place.bottom - 1),
                (x + reach, place.bottom - 1),
                (x, place.bottom + reach),
            ],
            edge,
        )
    elif place.top >= anchor.bottom:
        pen.shape([(x - reach, place.top), (x + reach, place.top), (x, place.top - reach)], edge)
    inner = inset(place, pen.px(0.6))
    if bubble.refusal:
        size = pen.px(1.05)
        symbol(
            pen, "triangle", Rect(inner.left, inner.top + pen.px(0.1), size, size), palette.yellow
        )
        inner.left += pen.px(1.6)
        inner.width = place.right - pen.px(0.6) - inner.left
    pen.block(bubble.text, inner, role="small")
