"""Panes: content that is higher than its place, seen through a window that can be moved up and down.

The content is built at its full height and shifted; what lies outside the window is neither painted
nor touched.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

from pygame import Rect

from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Act, Mood, Stroke, Widget
from sim.words.speech import say

Content = Callable[[Rect], tuple[list[Widget], int]]  # widgets, and the height they take


@dataclass
class Pane:
    """One pane as it stands."""

    window: Rect
    height: int  # of the content
    offset: int

    @property
    def most(self) -> int:
        """How far it can be moved, px."""
        return max(self.height - self.window.height, 0)


@dataclass
class Scrolls:
    """The panes of a page, by name; remembers how far each was moved."""

    panes: dict[str, Pane] = field(default_factory=dict)
    moved: bool = False
    shown: set[str] = field(default_factory=set)  # panes that are on the page now

    def begin(self) -> None:
        """Begin to build the page anew: panes that are not built again only keep their offset."""
        self.shown.clear()

    def pane(self, kit: Kit, name: str, rect: Rect, content: Content) -> Widget:
        """Return a widget that shows the content through a rectangle, with a bar if it is higher."""
        bar = kit.px(0.9)
        widgets, height = content(rect)
        if height > rect.height:
            inner = Rect(rect.left, rect.top, rect.width - bar - kit.px(0.4), rect.height)
            widgets, height = content(inner)
        old = self.panes.get(name)
        pane = Pane(Rect(rect), height, 0)
        pane.offset = min(old.offset if old else 0, pane.most)
        self.panes[name] = pane
        self.shown.add(name)
        for widget in widgets:
            for each in widget.walk():
                each.rect = each.rect.move(0, -pane.offset)
                each.window = each.window.clip(rect) if each.window is not None else Rect(rect)
                each.pane = name
        if pane.most:
            place = Rect(rect.right - bar, rect.top, bar, rect.height)
            widgets = [*widgets, self._bar(name, place)]
        return Widget(name, Rect(rect), children=widgets)

    def _bar(self, name: str, place: Rect) -> Widget:
        pane = self.panes[name]
        start = pane.offset

        def paint(pen: Pen, rect: Rect, mood: Mood) -> None:
            palette = pen.palette
            pen.box(rect, palette.sunk, palette.hair, radius=0.4)
            long = max(rect.height * pane.window.height // max(pane.height, 1), pen.px(1.5))
            top = rect.top + (rect.height - long) * pane.offset // max(pane.most, 1)
            colour = palette.focus if mood.focused or mood.hovered else palette.edge
            pen.box(Rect(rect.left, top, rect.width, long).inflate(-4, -4), colour, radius=0.4)

        def press(_source: str) -> None:
            nonlocal start
            start = pane.offset

        def point(spot: tuple[int, int]) -> None:
            share = (spot[1] - place.top) / max(place.height, 1)
            self.set(name, round(share * pane.height - pane.window.height / 2))

        def stroke(key: Stroke) -> bool:
            line = max(pane.window.height // 4, 1)
            steps = {"up": -line, "down": line, "page up": -pane.window.height,
                     "page down": pane.window.height, "home": -pane.height, "end": pane.height}  # fmt: skip
            if key.name not in steps:
                return False
            self.set(name, pane.offset + steps[key.name])
            return True

        return Widget(
            f"{name}.bar", place, paint, lambda: pane.offset,
            Act(press=press, point=point, stroke=stroke), label=say("scroll bar"),
        )  # fmt: skip

    def set(self, name: str, offset: int) -> None:
        """Move a pane to an offset, as far as it goes."""
        pane = self.panes[name]
        offset = min(max(offset, 0), pane.most)
        if offset != pane.offset:
            pane.offset = offset
            self.moved = True

    def wheel(self, place: tuple[int, int], change: int) -> None:
        """Move the pane under a place."""
        for name, pane in self.panes.items():
            if name in self.shown and pane.most and pane.window.collidepoint(place):
                self.set(name, pane.offset + change)

    def reveal(self, widget: Widget) -> None:
        """Move a pane so that a widget in it is seen whole, or its top if it is too high."""
        pane = self.panes.get(widget.pane)
        if pane is None:
            return
        if widget.rect.bottom > pane.window.bottom:
            self.set(widget.pane, pane.offset + widget.rect.bottom - pane.window.bottom + 4)
        if widget.rect.top < pane.window.top:
            self.set(widget.pane, pane.offset + widget.rect.top - pane.window.top - 4)
