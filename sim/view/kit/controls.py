"""Controls that any page uses: button, choice, text field, and plain text; for numbers see `number`.

Each function returns a widget. What a control does is given to it; it knows nothing of the saw.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from pygame import Rect

from sim.view.kit.layout import from_right, inset
from sim.view.kit.palette import Colour
from sim.view.kit.pen import Align, Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Stroke, Widget
from sim.view.kit.words import TermSpot, spots, spots_of_lines, underline


def focus_ring(pen: Pen, rect: Rect, mood: Mood) -> None:
    """Draw where the keyboard is."""
    if mood.focused:
        width = max(pen.px(0.14), 2)
        palette = pen.palette
        for line, colour in ((0, palette.focus), (width, palette.dark)):
            frame = rect.inflate(-2 * line, -2 * line)
            x, y, w, h = frame
            thick = width if line == 0 else max(width // 2, 1)
            pen.fill(Rect(x, y, w, thick), colour)
            pen.fill(Rect(x, y + h - thick, w, thick), colour)
            pen.fill(Rect(x, y, thick, h), colour)
            pen.fill(Rect(x + w - thick, y, thick, h), colour)


# Text -------------------------------------------------------------------------------------


def text(
    name: str,
    rect: Rect,
    words: str,
    *,
    role: str = "body",
    bold: bool = False,
    soft: bool = False,
    align: Align = "left",
) -> Widget:
    """Return a line of text that does not change."""

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        colour = pen.palette.soft if soft else pen.palette.ink
        pen.text(words, place, colour, role=role, bold=bold, align=align)
        underline(pen, terms(pen, place))

    def terms(pen: Pen, place: Rect) -> tuple[TermSpot, ...]:
        if align != "left" or pen.letters.width(words, role, bold) > place.width:
            return ()
        high = pen.letters.line(role)
        line = Rect(place.left, place.centery - high // 2, place.width, high)
        return spots_of_lines(pen, (words,), line, role, bold)

    return Widget(name, rect, paint, label=words, terms=terms)


def paragraph(
    kit: Kit,
    name: str,
    rect: Rect,
    words: str,
    *,
    role: str = "body",
    bold: bool = False,
    soft: bool = False,
) -> Widget:
    """Return wrapped text from the top of a rectangle; the widget is as high as the text."""
    height = kit.letters.height(words, role, rect.width, bold)
    place = Rect(rect.left, rect.top, rect.width, height)

    def terms(pen: Pen, at: Rect) -> tuple[TermSpot, ...]:
        return spots(pen, words, at, role, bold)

    def paint(pen: Pen, at: Rect, _mood: Mood) -> None:
        colour = pen.palette.soft if soft else pen.palette.ink
        pen.block(words, at, colour, role=role, bold=bold)
        underline(pen, terms(pen, at))

    return Widget(name, place, paint, label=words, terms=terms)


def panel(name: str, rect: Rect, children: list[Widget], *, sunk: bool = False) -> Widget:
    """Return a group of widgets on a surface of their own."""

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        pen.box(place, palette.sunk if sunk else palette.panel, palette.hair, radius=0.4)

    return Widget(name, rect, paint, children=children)


# Buttons ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Style:
    """How a button looks: plain, main, warn, quiet or chosen."""

    fill: str = "raised"
    ink: str = "ink"
    edge: str = "edge"
    role: str = "body"


PLAIN = Style()
MAIN = Style("blue", "dark", "blue")
QUIET = Style("panel", "ink", "hair")
CHOSEN = Style("sunk", "ink", "focus")


def button(
    name: str,
    rect: Rect,
    words: str,
    click: Callable[[], None],
    *,
    mark: str = "",
    style: Style = PLAIN,
    hint: str = "",
    chosen: Callable[[], bool] | None = None,
) -> Widget:
    """Return a button that does something when it is pressed and let go."""

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        on = chosen() if chosen else False
        look = CHOSEN if on else style
        fill: Colour = getattr(palette, look.fill)
        if not on and (mood.hovered or mood.held):
            fill = palette.white if look.ink == "dark" else palette.lit
        pen.box(place, fill, getattr(palette, look.edge), radius=0.35)
        if on:
            bar = Rect(place.left, place.bottom - pen.px(0.22), place.width, pen.px(0.22))
            pen.fill(bar, palette.focus)
        _face(pen, place, words, mark, hint, getattr(palette, look.ink), style.role)
        focus_ring(pen, place, mood)

    face = chosen if chosen is not None else None
    return Widget(name, rect, paint, face, Act(click=click), label=words)


def _face(pen: Pen, place: Rect, words: str, mark: str, hint: str, ink: Colour, role: str) -> None:
    pad = pen.px(0.5)
    inner = inset(place, pad, 0)
    if hint:
        side, inner = from_right(inner, pen.letters.width(hint, "fine", True), pen.px(0.3))
        pen.text(hint, side, ink, role="fine", bold=True, align="right")
    size = pen.px(0.85)
    if mark and not words:
        symbol(pen, mark, square_in(inner, size), ink)
        return
    width = pen.letters.width(words, role, True)
    if mark:
        width += size + pen.px(0.4)
        left = inner.left + max((inner.width - width) // 2, 0)
        symbol(pen, mark, square_in(Rect(left, inner.top, size, inner.height), size), ink)
        shift = left + size + pen.px(0.4) - inner.left
        inner = Rect(inner.left + shift, inner.top, inner.width - shift, inner.height)
        pen.text(words, inner, ink, role=role, bold=True)
        return
    pen.text(words, inner, ink, role=role, bold=True, align="centre")


def button_width(
    kit: Kit, words: str, *, mark: str = "", hint: str = "", role: str = "body"
) -> int:
    """Return how wide a button must be for its face, px."""
    width = kit.letters.width(words, role, True) + 2 * kit.px(0.5) + 4
    if mark:
        width += kit.px(0.85) + (kit.px(0.4) if words else 0)
    if hint:
        width += kit.letters.width(hint, "fine", True) + kit.px(0.3)
    return max(width, kit.px(1.8))


# Choice -----------------------------------------------------------------------------------


def choice(
    kit: Kit,
    name: str,
    rect: Rect,
    options: tuple[tuple[str, str], ...],
    read: Callable[[], str],
    pick: Callable[[str], None],
    *,
    least: int = 0,
    lines: int = 1,
) -> Widget:
    """Return options in lines, of which one is chosen; each is (value, words), and at least so many px wide."""
    children: list[Widget] = []
    each, high = -(-len(options) // lines), rect.height // lines
    for line in range(lines):
        here = options[line * each : (line + 1) * each]
        wide = [max(button_width(kit, words), least) for _, words in here]
        total, left = sum(wide), rect.left
        for (value, words), width in zip(here, wide, strict=True):
            share = round(rect.width * width / total) if total > rect.width else width
            place = Rect(left, rect.top + line * high, share, high)
            children.append(
                button(
                    f"{name}.{value}",
                    place,
                    words,
                    partial(pick, value),
                    chosen=partial(_is, read, value),
                )
            )
            left += share
    return Widget(name, rect, children=children)


def choice_width(kit: Kit, options: tuple[tuple[str, str], ...], least: int = 0) -> int:
    """Return how wide a row of options is, px, each of them at least so many."""
    return sum(max(button_width(kit, words), least) for _, words in options)


def choice_lines(kit: Kit, options: tuple[tuple[str, str], ...], width: int) -> int:
    """Return on how many lines all options have their room in a width, px; each on its own at the most."""
    wide = [button_width(kit, words) for _, words in options]
    for lines in range(1, len(wide)):
        each = -(-len(wide) // lines)
        if all(sum(wide[at : at + each]) <= width for at in range(0, len(wide), each)):
            return lines
    return max(len(wide), 1)


def _is(read: Callable[[], str], value: str) -> bool:
    return read() == value


# Text field -------------------------------------------------------------------------------


@dataclass
class Typed:
    """The text in a field."""

    text: str = ""


def field(
    name: str,
    rect: Rect,
    typed: Typed,
    prompt: str,
    changed: Callable[[], None],
    *,
    most: int = 40,
    secret: bool = False,
    entered: Callable[[], None] | None = None,
) -> Widget:
    """Return a field to type into.

    Args:
        name: Of the widget.
        rect: Where.
        typed: What is in it.
        prompt: What it says while it is empty.
        changed: Called when a character came or went.
        most: Characters at most.
        secret: Whether it shows dots for what is typed.
        entered: Called when return is struck in it.
    """

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        pen.box(place, palette.sunk, palette.edge, radius=0.25)
        inner = inset(place, pen.px(0.6), 0)
        if typed.text or mood.focused:
            text = "•" * len(typed.text) if secret else typed.text
            shown = text + ("|" if mood.focused else "")
            pen.text(pen.letters.shown_end(shown, "body", inner.width), inner)
        else:
            pen.text(prompt, inner, palette.soft)
        focus_ring(pen, place, mood)

    def stroke(key: Stroke) -> bool:
        before = typed.text
        if key.name == "backspace":
            typed.text = typed.text[:-1]
        elif key.name == "escape" and typed.text:
            typed.text = ""
        elif key.name == "return" and entered is not None:
            entered()
            return True
        elif key.text and key.text.isprintable() and len(typed.text) < most:
            typed.text += key.text
        else:
            return False
        if typed.text != before:
            changed()
        return True

    def face() -> object:
        return len(typed.text) if secret else typed.text

    return Widget(name, rect, paint, face, Act(stroke=stroke), label=prompt)
