"""The coach line: one sentence, what just happened and why, with the shape of its kind."""

from pygame import Rect

from sim.view.kit.column import KINDS
from sim.view.kit.layout import from_left, inset
from sim.view.kit.palette import Colour
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.kit.words import TermSpot, spots_of_lines, underline
from sim.view.play.play import Play
from sim.words.speech import say


def coach_line(kit: Kit, rect: Rect, play: Play) -> Widget:
    """Return the coach line; a click opens the log, where the whole of it is."""

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        kind, words = play.coach()
        shape, colour = KINDS.get(kind, KINDS["note"])
        pen.box(place, palette.panel, palette.focus if mood.focused else palette.hair, radius=0.4)
        inner = inset(place, pen.px(0.7), pen.px(0.1))
        mark, body = from_left(inner, pen.px(1.2), pen.px(0.6))
        symbol(pen, shape, square_in(mark, pen.px(1.1)), getattr(palette, colour))
        fitted_lines(pen, body, words)
        underline(pen, terms(pen, place))

    def terms(pen: Pen, place: Rect) -> tuple[TermSpot, ...]:
        inner = inset(place, pen.px(0.7), pen.px(0.1))
        _, body = from_left(inner, pen.px(1.2), pen.px(0.6))
        lines, role, top = _fitted(pen, body, play.coach()[1])
        at = Rect(body.left, top, body.width, body.height)
        return spots_of_lines(pen, lines, at, role)

    return Widget(
        "coach", rect, paint, play.coach, Act(click=lambda: play.go("log")), label=say("coach"), terms=terms,
    )  # fmt: skip


def fitted_lines(
    pen: Pen, body: Rect, words: str, colour: Colour | None = None, more: str = ""
) -> None:
    """Draw the words in the middle of the height, as many as fit.

    Where they do not all fit, `more` ends them; without it they end with where the rest is: the log.
    """
    lines, role, top = _fitted(pen, body, words, more)
    high = pen.letters.line(role)
    for index, each in enumerate(lines):
        pen.text(each, Rect(body.left, top + index * high, body.width, high), colour, role=role)


def _fitted(pen: Pen, body: Rect, words: str, more: str = "") -> tuple[tuple[str, ...], str, int]:
    """Return the lines that fit, the size of their letters, and where the first begins, px."""
    role = "body"
    line = pen.letters.line(role)
    lines = list(pen.letters.wrap(words, role, body.width))
    if len(lines) * line > body.height:
        role = "small"
        line = pen.letters.line(role)
        lines = list(pen.letters.wrap(words, role, body.width))
    fits = max(body.height // line, 1)
    if len(lines) > fits:
        tail = f" … {more or say('more in the log')}"
        words_left = lines[fits - 1].split()
        while words_left and pen.letters.width(" ".join(words_left) + tail, role) > body.width:
            words_left.pop()
        lines = [*lines[: fits - 1], " ".join(words_left) + tail]
    top = body.centery - len(lines) * line // 2
    return tuple(lines), role, top
