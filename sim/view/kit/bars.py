"""The bar at the top of a page: its ground, its title, and the keys that pause and pace the time."""

from collections.abc import Callable
from typing import Protocol

from pygame import Rect

from sim.view.kit.controls import MAIN, button, button_width
from sim.view.kit.layout import from_right
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.words.speech import reader, say


class HasPace(Protocol):
    """Something whose time a person can stop, slow down and hurry."""

    paused: bool
    speed: float  # times as fast as life, as it was chosen

    @property
    def pace(self) -> float:
        """How fast time passes now, times as fast as life."""

    def toggle_pause(self) -> None:
        """Stop its time, or let it go on."""

    def change_speed(self, step: int) -> None:
        """Go so many paces up or down."""


def top_bar(area: Rect, children: list[Widget]) -> Widget:
    """Return the bar with what is on it."""

    def ground(pen: Pen, at: Rect, _mood: Mood) -> None:
        pen.fill(at, pen.palette.panel)

    return Widget("bar", area, ground, children=children)


def bar_title(name: str, rect: Rect, words: str) -> Widget:
    """Return the title on a bar, in letters that fit."""

    def paint(pen: Pen, at: Rect, _mood: Mood) -> None:
        pen.fitted(words, at, ("lead", "body", "small", "fine"), bold=True)

    return Widget(name, rect, paint, label=words)


def done_key(
    kit: Kit, name: str, rect: Rect, leave: Callable[[], None], *, wide_ems: float = 0.6
) -> tuple[Widget, Rect]:
    """Return the key at the right that leaves a page, and the place that is left of it."""
    words = say("Done")
    wide = button_width(kit, words) + kit.px(wide_ems)
    place, rest = from_right(rect, wide, kit.px(0.4))
    return button(name, place, words, leave, style=MAIN), rest


def pace_keys(kit: Kit, name: str, rect: Rect, paced: HasPace) -> tuple[list[Widget], Rect]:
    """Return faster, pace, slower and pause from the right, and the place that is left of them."""
    gap = kit.px(0.4)
    faster, rest = from_right(rect, button_width(kit, "", mark="faster"), gap)
    pace, rest = from_right(rest, kit.px(3.2), gap)
    slower, rest = from_right(rest, button_width(kit, "", mark="slower"), gap)
    pause, rest = from_right(rest, kit.px(2.6), gap)
    return [
        button(f"{name}.faster", faster, "", lambda: paced.change_speed(1), mark="faster"),
        _pace(f"{name}.pace", pace, paced),
        button(f"{name}.slower", slower, "", lambda: paced.change_speed(-1), mark="slower"),
        _pause(f"{name}.pause", pause, paced),
    ], rest


def _pace(name: str, rect: Rect, paced: HasPace) -> Widget:
    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        pace = reader().number(paced.pace, decimals=None)
        pen.text(f"×{pace}", place, bold=True, align="centre")

    return Widget(name, rect, paint, lambda: paced.pace, label=say("pace"))


def _pause(name: str, rect: Rect, paced: HasPace) -> Widget:
    go_on = button(name, rect, "", paced.toggle_pause, mark="start")
    halt = button(name, rect, "", paced.toggle_pause, mark="pause")

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        shown = go_on if paced.paused else halt
        if shown.paint:
            shown.paint(pen, place, mood)

    return Widget(name, rect, paint, lambda: paced.paused, go_on.act, label=say("pause"))
