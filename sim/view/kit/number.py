"""A number that a hand sets: step keys on both sides, drag, arrow keys, or typing.

Keys turn it step by step, as turning a screw does; the wheel only scrolls; a drag or a typed value counts once,
when it ends, straight from where it was. Where what is wanted is gathered before it is set, that is shown,
with where it stands as the line.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from pygame import Rect

from sim.view.kit.controls import button, focus_ring
from sim.view.kit.layout import from_left, from_right, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Act, Mood, Stroke, Widget
from sim.words.speech import reader

_STEPS: Final = {"left": -1, "right": 1, "page down": -10, "page up": 10}
_FULL_DRAG_EMS: Final = 16.0  # from one end of the range to the other
_LONGEST: Final = 9


@dataclass(frozen=True, slots=True)
class NumberRange:
    """What a number may be, and how it is written."""

    low: float
    high: float
    step: float
    unit: str = ""
    decimals: int = 0
    start: float = 0.0  # where one sets it that nobody has looked at

    def held(self, value: float) -> float:
        """Return the value within the range, on a whole step from the low end."""
        steps = round((value - self.low) / self.step)
        return round(min(max(self.low + steps * self.step, self.low), self.high), 6)


@dataclass
class Number:
    """One number under a hand."""

    kit: Kit
    span: NumberRange
    read: Callable[[], float | None]  # None when nobody has looked at it yet
    put: Callable[[float], None]
    wanted: Callable[[], float | None] = lambda: None  # what it is turned to, and not set to yet
    typed: str = ""
    dragged: float | None = None

    def value(self) -> float:
        """Return what it is turned to or stands at; where nobody has looked yet, where `span` says to start."""
        wanted = self.wanted()
        now = self.read() if wanted is None else wanted
        return self.span.start if now is None else now

    def step(self, count: float) -> None:
        """Turn it by so many steps; the first turn of one that nobody has looked at sets `start`."""
        self.typed = ""
        steps = 0.0 if self.read() is None and self.wanted() is None else count
        self.put(self.span.held(self.value() + steps * self.span.step))

    def _words(self, value: float) -> str:
        return reader().quantity(value, self.span.unit, self.span.decimals)

    def face(self) -> tuple[float | None, float | None, str, float | None]:
        """Return what it shows."""
        return self.read(), self.wanted(), self.typed, self.dragged

    def stroke(self, key: Stroke) -> bool:
        """Take a key of the keyboard; a decimal comma counts as a point."""
        if key.name in _STEPS:
            self.step(_STEPS[key.name])
        elif key.text and key.text in "0123456789.,-":
            self.typed = (self.typed + key.text)[:_LONGEST]
        elif key.name == "backspace" and self.typed:
            self.typed = self.typed[:-1]
        elif key.name in ("return", "escape") and self.typed:
            self._finish(keep=key.name == "return")
        else:
            return bool(key.text) and key.text != "?"  # other letters are no digits, and no keys
        return True

    def _finish(self, *, keep: bool) -> None:
        typed, self.typed = self.typed, ""
        try:
            value = float(typed.replace(",", "."))
        except ValueError:
            return
        if keep:
            self.put(self.span.held(reader().metric(value, self.span.unit)))

    def drag(self, pixels: int) -> None:
        """Show where a drag has come to."""
        if abs(pixels) > self.kit.px(0.4) or self.dragged is not None:
            share = pixels / max(self.kit.px(_FULL_DRAG_EMS), 1)
            self.dragged = self.span.held(self.value() + share * (self.span.high - self.span.low))

    def drop(self, _source: str) -> None:
        """Set what was dragged to."""
        if self.dragged is not None:
            value, self.dragged = self.dragged, None
            self.put(value)

    def paint(self, pen: Pen, place: Rect, mood: Mood) -> None:
        """Draw the value over a line that shows how far it is between its limits."""
        palette = pen.palette
        pen.box(place, palette.sunk, palette.edge, radius=0.1)
        inner = inset(place, pen.px(0.45), 0)
        now, wanted = self.read(), self.wanted()
        if now is not None and not self.typed and self.dragged is None:
            span = self.span
            _line(pen, place, (now - span.low) / max(span.high - span.low, 1e-9))
        if self.typed:
            pen.text(self.typed + " |", inner, bold=True, align="centre")
        elif self.dragged is not None:
            pen.text(self._words(self.dragged), inner, palette.focus, bold=True, align="centre")
        elif wanted is not None:
            pen.text(self._words(wanted), inner, palette.focus, bold=True, align="centre")
        elif now is None:
            pen.text("?", inner, palette.soft, bold=True, align="centre")
        else:
            pen.text(self._words(now), inner, bold=True, align="centre")
        focus_ring(pen, place, mood)


def number(
    kit: Kit,
    name: str,
    rect: Rect,
    span: NumberRange,
    read: Callable[[], float | None],
    put: Callable[[float], None],
    label: str = "",
    *,
    wanted: Callable[[], float | None] = lambda: None,
) -> Widget:
    """Return a number between two step keys.

    Args:
        kit: Letters and colours.
        name: Name of the widget.
        rect: Where it goes.
        span: Limits, step and unit.
        read: The value now; None when nobody has looked at it yet.
        put: Sets it, or gathers what it is to be set to.
        label: What it is, in words.
        wanted: What was gathered for it; None when nothing was.
    """
    side = max(kit.px(1.9), min(rect.height, kit.px(2.2)), 24)
    less, rest = from_left(rect, side)
    more, middle = from_right(rest, side)
    hand = Number(kit, span, read, put, wanted)
    dial = Widget(
        f"{name}.value", middle, hand.paint, hand.face,
        Act(drag=hand.drag, release=hand.drop, stroke=hand.stroke), label=label,
    )  # fmt: skip
    return Widget(
        name, rect, label=label,
        children=[
            button(f"{name}.less", less, "", lambda: hand.step(-1), mark="minus"),
            dial,
            button(f"{name}.more", more, "", lambda: hand.step(1), mark="plus"),
        ],
    )  # fmt: skip


def _line(pen: Pen, place: Rect, share: float) -> None:
    high = max(pen.px(0.16), 2)
    track = Rect(place.left + 2, place.bottom - high - 2, place.width - 4, high)
    pen.fill(track, pen.palette.hair)
    reach = round(track.width * min(max(share, 0.0), 1.0))
    pen.fill(Rect(track.left, track.top, reach, track.height), pen.palette.blue)
