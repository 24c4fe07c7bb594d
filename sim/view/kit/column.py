"""A column that is filled from the top, and blocks set side by side in several of them."""

from collections.abc import Callable, Sequence
from typing import Final

from pygame import Rect

from sim.view.kit.controls import paragraph
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget

Filled = tuple[list[Widget], int]
"""Widgets from the top of a place, and the height that they take, px."""

_NARROW_EMS: Final = 55  # below which two columns do not fit beside each other

# What kind of event gets which shape and colour. Red is for danger, a green tick for success only
# (IEC 60073, from memory).
KINDS: Final[dict[str, tuple[str, str]]] = {
    "act": ("start", "soft"),
    "refused": ("triangle", "yellow"),
    "cut": ("square", "white"),
    "consequence": ("octagon", "red"),
    "reason": ("pause", "yellow"),
    "finding": ("ring", "blue"),
    "unsafe": ("cross", "red"),
    "note": ("diamond", "soft"),
    "answer": ("speech", "soft"),
    "coach": ("speech", "blue"),
    "step": ("tick", "green"),
    "hint": ("speech", "yellow"),
    "instructor": ("hand", "orange"),
    "fault": ("diamond", "orange"),
}


def row_height(kit: Kit) -> int:
    """Return the height of a row with a control in it, px."""
    return max(kit.px(1.95), 24)


class Column:
    """Widgets one under another; `top` is where the next one goes."""

    def __init__(self, kit: Kit, rect: Rect) -> None:
        self._kit = kit
        self.left = rect.left
        self.width = rect.width
        self.top = rect.top
        self.widgets: list[Widget] = []

    def space(self, ems: float) -> None:
        """Leave room."""
        self.top += self._kit.px(ems)

    def place(self, width: int, height_ems: float) -> Rect:
        """Return the next place of a size, at the left, and go below it."""
        rect = Rect(self.left, self.top, min(width, self.width), max(self._kit.px(height_ems), 24))
        self.top = rect.bottom
        return rect

    def add(self, widget: Widget) -> Widget:
        """Add a widget that was placed already."""
        self.widgets.append(widget)
        return widget

    def paragraph(
        self, name: str, words: str, *, role: str = "body", bold: bool = False, soft: bool = False
    ) -> Widget:
        """Add wrapped text."""
        rect = Rect(self.left, self.top, self.width, 0)
        widget = paragraph(self._kit, name, rect, words, role=role, bold=bold, soft=soft)
        self.top = widget.rect.bottom
        return self.add(widget)

    def stamped(self, name: str, time: str, kind: str, words: str) -> Widget:
        """Add a line with its time and the shape of its kind."""
        kit = self._kit
        stamp, mark = kit.px(3.6), kit.px(1.4)
        body = Rect(self.left + stamp + mark, self.top, self.width - stamp - mark, 0)
        height = kit.letters.height(words, "small", body.width) + kit.px(0.2)
        shape, colour = KINDS.get(kind, KINDS["note"])

        def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
            line = pen.letters.line("small")
            first = Rect(place.left, place.top, stamp, line)
            pen.figures(time, Rect(first.left, first.top, stamp - pen.px(0.6), line), pen.palette.soft,
                        role="fine", bold=False)  # fmt: skip
            spot = Rect(first.right, place.top, pen.px(0.8), line)
            symbol(pen, shape, square_in(spot, pen.px(0.7)), getattr(pen.palette, colour))
            pen.block(words, Rect(body.left, place.top, body.width, place.height), role="small")

        widget = Widget(name, Rect(self.left, self.top, self.width, height), paint, label=words)
        self.top += height
        return self.add(widget)


Block = Callable[[Rect], tuple[Widget, int]]


def beside(
    kit: Kit, area: Rect, first: Callable[[Column], None], second: Callable[[Column], None],
    fifths: int = 2,
) -> Filled:  # fmt: skip
    """Return the widgets of two columns and their height; in a narrow area one is under the other.

    Args:
        kit: For sizes.
        area: Where, its height left out.
        first: Fills the left column.
        second: Fills the right one.
        fifths: Of the width, for the left column.
    """
    gap = kit.px(1.5)
    narrow = area.width < kit.px(_NARROW_EMS)
    width = area.width if narrow else (area.width - gap) * fifths // 5
    left = Column(kit, Rect(area.left, area.top, width, 0))
    first(left)
    if narrow:
        right = Column(kit, Rect(area.left, left.top + kit.px(0.6), area.width, 0))
    else:
        start = area.left + width + gap
        right = Column(kit, Rect(start, area.top, area.right - start, 0))
    second(right)
    return [*left.widgets, *right.widgets], max(left.top, right.top) - area.top


def side_by_side(
    kit: Kit, area: Rect, across: int, blocks: Sequence[Block], gap_ems: float = 0.4
) -> Filled:
    """Return blocks read down one column and then the next, and the height they take."""
    gap, between = kit.px(gap_ems), kit.px(1.6)
    wide = (area.width - between * (across - 1)) // across
    each = -(-len(blocks) // across)
    widgets: list[Widget] = []
    lowest = area.top
    for index, block in enumerate(blocks):
        column, row = divmod(index, each)
        if row == 0:
            top = area.top
        widget, height = block(Rect(area.left + column * (wide + between), top, wide, 0))
        widgets.append(widget)
        top += height + gap
        lowest = max(lowest, top - gap)
    return widgets, lowest - area.top
