"""The strip that asks before a session is left in the middle: it says what is lost, and has both ways.

Never here: what leaving does.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from pygame import Rect

from sim.session.lessons.lesson import lesson_of
from sim.session.playback.rewind import may_rewind
from sim.session.session import Session
from sim.view.console.coach import fitted_lines
from sim.view.kit.controls import MAIN, PLAIN, Style, button, button_width
from sim.view.kit.layout import from_left, from_right, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget
from sim.words.message import Message, plain
from sim.words.speech import say, tell

_ICON_EMS: Final = 1.4


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked, the word that does it, and what it does."""

    asks: Message
    does: Message
    do: Callable[[], None]


FINISH: Final = plain(
    "window.ask.finish", "Finish now? The session ends here, and the debrief takes it as it stands."
)
LEAVE: Final = plain(
    "window.ask.leave", "Leave now? The session is broken off; its record is kept, without a score."
)
FINISH_IT: Final = plain("window.ask.finish-it", "Finish it")
LEAVE_IT: Final = plain("window.ask.leave-it", "Break it off")


def wants_asking(session: Session, *, finishing: bool) -> bool:
    """Return whether something would be lost: the run goes on or can go back, and something was done in it.

    Args:
        session: As it stands.
        finishing: With its debrief; then nothing is lost of a lesson whose steps are all done.
    """
    lesson = lesson_of(session)
    if finishing and lesson is not None and lesson.done:
        return False
    return (not session.over or may_rewind(session)) and len(session.done.acts) > 0


def ask_height(kit: Kit, width: int, question: Question) -> int:
    """Return how high the strip is, px."""
    inner = width - _keys_width(kit, question) - kit.px(_ICON_EMS + 2.4)
    lines = kit.letters.height(tell(question.asks), "body", max(inner, kit.px(8)))
    return max(lines + kit.px(0.7), kit.px(2.5), 40)


def ask_strip(kit: Kit, rect: Rect, question: Question, stay: Callable[[], None]) -> Widget:
    """Return the strip with its two keys at the right; the keyboard goes to the one that stays."""
    high = min(max(kit.px(2.0), 24), rect.height)
    rest = rect
    children: list[Widget] = []
    for name, words, click, style in reversed(_keys(question, stay)):
        place, rest = from_right(rest, button_width(kit, words), kit.px(0.4))
        spot = Rect(place.left, rect.centery - high // 2, place.width, high)
        children.insert(0, button(name, spot, words, click, style=style))

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        pen.box(place, palette.panel, palette.white, radius=0.3, width=pen.hairline + 1)
        inner = inset(place, pen.px(0.5), pen.px(0.2))
        mark, body = from_left(inner, pen.px(_ICON_EMS), pen.px(0.6))
        symbol(pen, "diamond", square_in(mark, pen.px(_ICON_EMS)), palette.white)
        fitted_lines(pen, body, tell(question.asks))

    said = Widget("ask.said", rest, paint, label=tell(question.asks))
    return Widget("ask", rect, children=[said, *children])


def _keys(
    question: Question, stay: Callable[[], None]
) -> tuple[tuple[str, str, Callable[[], None], Style], ...]:
    return (
        ("ask.no", say("Go on with it"), stay, MAIN),
        ("ask.yes", tell(question.does), question.do, PLAIN),
    )


def _keys_width(kit: Kit, question: Question) -> int:
    keys = _keys(question, question.do)
    return sum(button_width(kit, words) + kit.px(0.4) for _, words, _, _ in keys)
