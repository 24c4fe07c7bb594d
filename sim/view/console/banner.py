"""The banner that warns while a wire is forced or a jumper is in, whichever sheet is open."""

from collections.abc import Callable
from typing import Final, Protocol

from pygame import Rect

from sim.view.console.coach import fitted_lines
from sim.view.kit.controls import focus_ring
from sim.view.kit.layout import from_left, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.words.message import Message
from sim.words.speech import say, tell

_MOST_LINES: Final = 3


class Warned(Protocol):
    """What a banner warns of: the bench of a session, or an example that is played."""

    @property
    def banner(self) -> Message:
        """The warning as it is now; nothing when there is none."""


def banner_height(kit: Kit, width: int, warned: Warned, *, lines: int = _MOST_LINES) -> int:
    """Return how high the banner is now, 0 when nothing is forced or jumpered, px."""
    words = tell(warned.banner)
    if not words:
        return 0
    inner = width - kit.px(3.5)
    lines = min(len(kit.letters.wrap(words, "small", inner)), lines)
    return max(lines * kit.letters.line("small") + kit.px(0.7), kit.px(1.9), 24)


def banner(kit: Kit, rect: Rect, warned: Warned, click: Callable[[], None] | None = None) -> Widget:
    """Return the banner; a click opens the bench, where what is in can be taken out."""
    del kit
    more = say("more on the bench")

    def words() -> str:
        return tell(warned.banner)

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        pen.box(place, palette.yellow, palette.black, radius=0.3, width=2)
        mark, body = from_left(inset(place, pen.px(0.7), pen.px(0.2)), pen.px(1.2), pen.px(0.6))
        symbol(pen, "triangle", square_in(mark, pen.px(1.1)), palette.dark)
        fitted_lines(pen, body, words(), palette.dark, more)
        focus_ring(pen, place, mood)

    act = Act(click=click) if click is not None else None
    return Widget("banner", rect, paint, words, act, label=say("warning"))
