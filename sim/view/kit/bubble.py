"""A sentence beside a widget: why a key was refused, or what a thing is.

It lies over its neighbours for a moment and never over the widget it speaks of, nor over the one that
it is to spare.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import pygame
from pygame import Rect

from sim.view.kit.layout import inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import symbol

_PICTURE_EMS: Final = 15.0  # the width of a word's picture


@dataclass(frozen=True, slots=True)
class Explained:
    """What a word means, and what paints it: a picture in a place of 16 to 9; None for none."""

    title: str
    text: str
    picture: Callable[[Pen, Rect], None] | None = None


@dataclass(frozen=True, slots=True)
class Bubble:
    """What is said, beside which widget, and over which it must not lie.

    Attributes:
        anchor: The widget.
        text: What is said.
        refusal: Whether it says why a key was refused.
        spares: Over which widget it must not lie; never over an emergency stop, if that can be.
        word: Of a word of the trade: what it is, where it stands, and what it looks like.
    """

    anchor: str
    text: str
    refusal: bool = False
    spares: str = ""
    word: tuple[Explained, tuple[int, int, int, int]] | None = None


def place_bubble(
    kit: Kit, bubble: Bubble, anchor: Rect, screen: Rect, spared: Sequence[Rect] = ()
) -> Rect:
    """Return where the bubble goes: above its widget, or below or beside it, inside the screen."""
    return _place(kit, bubble, anchor, screen, spared)[0]


def as_fits(
    kit: Kit, bubble: Bubble, anchor: Rect, screen: Rect, spared: Sequence[Rect]
) -> tuple[Bubble, Rect]:
    """Return a bubble and its place; without its picture where it would lie over what is spared."""
    place, clear = _place(kit, bubble, anchor, screen, spared)
    if clear or bubble.word is None or bubble.word[0].picture is None:
        return bubble, place
    explained, at = bubble.word
    plain = replace(bubble, word=(replace(explained, picture=None), at))
    return plain, _place(kit, plain, anchor, screen, spared)[0]


def _place(
    kit: Kit, bubble: Bubble, anchor: Rect, screen: Rect, spared: Sequence[Rect]
) -> tuple[Rect, bool]:
    """Return the place, and whether it covers neither the widget nor what is spared."""
    width, height = _size(kit, bubble, screen)
    gap = kit.px(0.4)
    inside = inset(screen, gap)
    left, top = anchor.centerx - width // 2, anchor.centery - height // 2
    corners = (
        (left, anchor.top - gap - height), (left, anchor.bottom + gap),
        (anchor.left - gap - width, top), (anchor.right + gap, top),
        (inside.left, anchor.top - gap - height), (inside.left, anchor.bottom + gap),
    )  # fmt: skip
    places = [Rect(corner, (width, height)).clamp(inside) for corner in corners]
    free = [each for each in places if not each.colliderect(anchor)]
    clear = [each for each in free if each.collidelist(list(spared)) < 0]
    return (clear or free or places)[0], bool(clear)


def _size(kit: Kit, bubble: Bubble, screen: Rect) -> tuple[int, int]:
    width = min(kit.px(24), screen.width - kit.px(2))
    pad = kit.px(0.6)
    mark = kit.px(1.6) if bubble.refusal else 0
    text_width = width - 2 * pad - mark
    lines = kit.letters.wrap(bubble.text, "small", text_width)
    longest = max((kit.letters.width(line, "small") for line in lines), default=0)
    height = len(lines) * kit.letters.line("small") + 2 * pad
    if bubble.word is not None:
        explained = bubble.word[0]
        longest = max(longest, kit.letters.width(explained.title, "body", True))
        height += kit.letters.line("body")
        if explained.picture is not None:
            longest = max(longest, min(kit.px(_PICTURE_EMS), text_width))
            height += _high_of(longest) + pad
    return min(width, longest + 2 * pad + mark + 2), height


def _high_of(wide: int) -> int:
    """Return how high a picture of a width is, px."""
    return wide * 9 // 16


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
    if bubble.word is not None:
        _paint_word(pen, bubble.word[0], inner)
        line = pen.letters.line("body")
        inner.top, inner.height = inner.top + line, inner.height - line
    if bubble.refusal:
        size = pen.px(1.05)
        symbol(
            pen, "triangle", Rect(inner.left, inner.top + pen.px(0.1), size, size), palette.yellow
        )
        inner.left += pen.px(1.6)
        inner.width = place.right - pen.px(0.6) - inner.left
    pen.block(bubble.text, inner, role="small")


def _paint_word(pen: Pen, explained: Explained, inner: Rect) -> None:
    """Write the word over what it means, and paint its picture under that."""
    title = Rect(inner.left, inner.top, inner.width, pen.letters.line("body"))
    pen.text(explained.title, title, bold=True)
    if explained.picture is not None:
        high = _high_of(inner.width)
        place = Rect(inner.left, inner.bottom - high, inner.width, high)
        explained.picture(pen, place)
        pygame.draw.rect(pen.surface, pen.palette.hair, place, pen.hairline)
