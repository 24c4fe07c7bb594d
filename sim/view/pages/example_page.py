"""A counterexample, played in the window: which property breaks, by which moves, and what is then on."""

from collections.abc import Callable
from typing import Final

from pygame import Rect

from sim.kernel.pacing import Pacer
from sim.units import US
from sim.view.console.banner import banner, banner_height
from sim.view.console.keys import emergency_corner
from sim.view.kit.bars import bar_title, done_key, top_bar
from sim.view.kit.column import Column, Filled
from sim.view.kit.controls import PLAIN, QUIET, button, button_width
from sim.view.kit.layout import columns, from_bottom, from_top, inset
from sim.view.kit.page import QuietPage
from sim.view.kit.pen import Kit
from sim.view.kit.widget import Stroke, Widget
from sim.view.pages.example_parts import (
    move_rows,
    now_height,
    present,
    promise,
    state_rows,
    wire_rows,
)
from sim.view.play.example_player import ExamplePlayer
from sim.view.play.hands import Hands
from sim.words.fields import count
from sim.words.message import row
from sim.words.speech import say, tell

_MOVE_US: Final = US  # one move a second while it plays by itself
_TITLE: Final = row(
    "window.example.title", "The shortest way to break it: {count} move",
    plural="The shortest way to break it: {count} moves", count=count(),
)  # fmt: skip
_WIDE_EMS: Final = 66  # from which the parts stand side by side


class ExamplePage(QuietPage):
    """The page of one counterexample."""

    name = "example"

    def __init__(
        self, player: ExamplePlayer, leave: Callable[[], None], hands: Hands | None = None
    ) -> None:
        self.player = player
        super().__init__(leave)
        self._hands = hands  # of the session that it is opened in, so that its stop stays in reach
        self.playing = False
        self._pacer = Pacer()
        self._waited_us = 0
        self._follow = True  # bring the present move into sight

    def tick(self) -> None:
        """Make a move when its second has passed."""
        passed_us = self._pacer.frame_us()
        if not self.playing:
            return
        self._waited_us += passed_us
        if self._waited_us >= _MOVE_US:
            self._waited_us -= _MOVE_US
            self._show(self.player.made + 1)
            if self.player.over:
                self._toggle()

    def go_to(self, number: int) -> None:
        """Go to the moment after so many moves, and stand there."""
        self.playing = False
        self._show(number)

    def _show(self, number: int) -> None:
        self.player.go_to(number)
        self._follow = True
        self.refresh()

    def _toggle(self) -> None:
        """Play by itself, or stop; after the last move begin again from the first."""
        if not self.playing and self.player.over:
            self._show(0)
        self.playing = not self.playing
        self._waited_us = 0
        self.refresh()

    # Keys ---------------------------------------------------------------------------------

    def _first(self) -> None:
        self.go_to(0)

    def _back(self) -> None:
        self.go_to(self.player.made - 1)

    def _next(self) -> None:
        self.go_to(self.player.made + 1)

    def _last(self) -> None:
        self.go_to(self.player.moves)

    def stroke(self, stroke: Stroke) -> bool:
        """Step with the arrows, home and end; play with the space bar; leave with escape."""
        acts = {
            "left": self._back, "right": self._next, "home": self._first, "end": self._last,
            "space": self._toggle, "escape": self._leave,
        }  # fmt: skip
        act = acts.get(stroke.name)
        if act is not None:
            act()
        return act is not None

    # Layout -------------------------------------------------------------------------------

    def build(self, kit: Kit, area: Rect) -> Widget:
        """Return the tree for an area."""
        tree = self._tree(kit, area)
        if self._follow:
            self._follow = False
            here = f"example.move.{self.player.made}"
            for widget in tree.walk():
                if widget.name == here and widget.pane == "example.moves":
                    self.scrolls.reveal(widget)
            if self.scrolls.moved:
                self.scrolls.moved = False
                tree = self._tree(kit, area)
        return tree

    def _tree(self, kit: Kit, area: Rect) -> Widget:
        gap = kit.px(0.5)
        bar, rest = from_top(area, max(kit.px(3.1 if self._hands else 2.4), 30))
        inner = inset(rest, kit.px(0.8), gap)
        keys, inner = from_bottom(inner, max(kit.px(2.1), 28), gap)
        children = [self._bar(kit, bar)]
        warn_high = banner_height(kit, inner.width, self.player)
        if warn_high:
            strip, inner = from_top(inner, warn_high, gap)
            children.append(banner(kit, strip, self.player))
        wide = area.width >= kit.px(_WIDE_EMS)
        children += self._side_by_side(kit, inner) if wide else [self._stacked(kit, inner)]
        return Widget("page", area, children=[*children, self._keys(kit, keys)])

    def _side_by_side(self, kit: Kit, area: Rect) -> list[Widget]:
        gap, between = kit.px(0.6), kit.px(1.6)
        said, high = promise(kit, area, self.player)
        _, rest = from_top(area, high, gap)
        strip, rest = from_top(rest, now_height(kit, area.width, self.player), gap)
        self.scrolls.panes.pop("example.all", None)
        moves, states, wires = columns(rest, [1.05, 1, 1.05], between)
        pane = self.scrolls.pane
        return [
            *said,
            present(kit, strip, self.player),
            pane(kit, "example.moves", moves, lambda r: self._moves(kit, r)),
            pane(kit, "example.states", states, lambda r: state_rows(kit, r, self.player)),
            pane(kit, "example.wires", wires, lambda r: wire_rows(kit, r, self.player)),
        ]

    def _stacked(self, kit: Kit, area: Rect) -> Widget:
        """Return everything one under another, the present first: for large text."""
        for name in ("example.moves", "example.states", "example.wires"):
            self.scrolls.panes.pop(name, None)

        def content(rect: Rect) -> tuple[list[Widget], int]:
            column = Column(kit, rect)
            strip = Rect(rect.left, rect.top, rect.width, now_height(kit, rect.width, self.player))
            column.add(present(kit, strip, self.player))
            column.top = strip.bottom
            parts: tuple[Callable[[Rect], Filled], ...] = (
                lambda r: promise(kit, r, self.player),
                lambda r: state_rows(kit, r, self.player, changed_first=True),
                lambda r: wire_rows(kit, r, self.player),
                lambda r: self._moves(kit, r),
            )
            for part in parts:
                column.space(0.8)
                widgets, high = part(Rect(rect.left, column.top, rect.width, 0))
                column.widgets += widgets
                column.top += high
            return column.widgets, column.top - rect.top

        return self.scrolls.pane(kit, "example.all", area, content)

    def _moves(self, kit: Kit, area: Rect) -> tuple[list[Widget], int]:
        widgets, high = move_rows(kit, area, self.player, self.go_to)
        column = Column(kit, Rect(area.left, area.top + high, area.width, 0))
        column.space(0.5)
        words = say(
            "Arrow keys go one move back or on, Home and End to the first and the last, "
            "the space bar plays, Escape leaves."
        )
        column.paragraph("example.help", words, role="fine", soft=True)
        return [*widgets, *column.widgets], column.top - area.top

    def _bar(self, kit: Kit, area: Rect) -> Widget:
        inner = inset(area, kit.px(0.8), kit.px(0.25))
        stop: list[Widget] = []
        if self._hands is not None:
            key, inner = emergency_corner(kit, inner, self._hands)
            stop.append(key)
        done, inner = done_key(kit, "example.done", inner, self._leave)
        title = tell(_TITLE(count=self.player.moves))
        return top_bar(area, [done, bar_title("example.title", inner, title), *stop])

    def _keys(self, kit: Kit, area: Rect) -> Widget:
        at_first, at_last = not self.player.made, self.player.over
        play = (say("Pause"), "pause") if self.playing else (say("Play"), "start")
        row = (
            ("first", say("First"), "slower", self._first, at_first),
            ("back", say("Back"), "left", self._back, at_first),
            ("play", *play, self._toggle, False),
            ("next", say("Next"), "right", self._next, at_last),
            ("last", say("Last"), "faster", self._last, at_last),
        )
        gap = kit.px(0.4)
        need = [button_width(kit, words, mark=mark) for _, words, mark, _, _ in row]
        marked = sum(need) + gap * (len(row) - 1) <= area.width
        if not marked:
            need = [button_width(kit, words) for _, words, _, _, _ in row]
        width = min(area.width, max(sum(need) + gap * (len(row) - 1), kit.px(50)))
        place = Rect(area.centerx - width // 2, area.top, width, area.height)
        children = [
            button(
                f"example.{name}", rect, words, act,
                mark=mark if marked else "", style=QUIET if idle else PLAIN,
            )
            for (name, words, mark, act, idle), rect in zip(
                row, columns(place, need, gap), strict=True
            )
        ]  # fmt: skip
        return Widget("example.keys", area, children=children)
