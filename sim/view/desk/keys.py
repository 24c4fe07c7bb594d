"""The keys of the desk: down while they are held, with their letter in the corner; and the emergency stop.

Keys act on press and on release. Never here: whether a key is taken, which the session knows.
"""

from pygame import Rect

from sim.view.kit.controls import focus_ring
from sim.view.kit.layout import from_left, from_right, inset
from sim.view.kit.palette import Colour, Palette
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.play.desk_rows import Cap
from sim.view.play.hands import Hands, needs_two_hands
from sim.words.speech import say, tell


def _cap_colours(palette: Palette, style: str) -> tuple[Colour, Colour, Colour]:
    """Return fill, edge and ink of a key."""
    looks = {
        "start": (palette.white, palette.white, palette.dark),
        "stop": (palette.black, palette.edge, palette.white),
        "reset": (palette.blue, palette.blue, palette.dark),
        "latch": (palette.raised, palette.edge, palette.ink),
        "move": (palette.raised, palette.edge, palette.ink),
    }
    return looks[style]


def cap_key(kit: Kit, cap: Cap, rect: Rect, hands: Hands) -> Widget:
    """Return a key of the desk: down while it is held, with its letter in the corner."""
    words = tell(cap.words)
    letter = say("SPACE") if cap.letter == "space" else cap.letter.upper()
    both = needs_two_hands(cap.key)

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        down = hands.down(cap.key)
        fill, edge, ink = _cap_colours(palette, cap.style)
        refused = _is_refused(hands, cap)
        if mood.hovered and not down and cap.style in ("move", "latch"):
            fill = palette.lit
        pen.box(place, palette.yellow if refused else palette.blue if down else edge, radius=0.35)
        line = pen.hairline + (2 if refused else pen.px(0.2) if down else 0)
        face = place.inflate(-2 * line, -2 * line)
        pen.box(face, fill, radius=0.3)
        shown = say("isolator on") if down and cap.style == "latch" else words
        _cap_face(pen, face, cap, shown, letter, ink, both)
        focus_ring(pen, place, mood)

    def face() -> tuple[bool, bool]:
        return (hands.down(cap.key), _is_refused(hands, cap))

    return Widget(
        f"key.{cap.key}", rect, paint, face,
        Act(press=lambda s: hands.press(s, cap.key), release=hands.release), label=words,
    )  # fmt: skip


def _is_refused(hands: Hands, cap: Cap) -> bool:
    told = hands.refused
    return told is not None and told.refusal and told.key == cap.key


def _cap_face(
    pen: Pen, face: Rect, cap: Cap, words: str, letter: str, ink: Colour, both: bool
) -> None:
    inner = inset(face, pen.px(0.3), 0)
    if letter:
        side, inner = from_right(inner, pen.letters.width(letter, "fine", True), pen.px(0.15))
        pen.text(letter, side, ink, role="fine", bold=True, align="right")
    size, each = pen.px(0.8), pen.px(1.1)
    marks = [mark for mark in (cap.mark, "hand" if both else "") if mark]
    role, room = "small", inner.width - pen.letters.width(words, "small", True)
    if room < each * len(marks):
        role, room = "fine", inner.width - pen.letters.width(words, "fine", True)
    fit = max(room // each, 0)
    for mark in marks[max(len(marks) - fit, 0) :]:  # that it takes both hands is said first
        place, inner = from_left(inner, size, pen.px(0.3))
        symbol(pen, mark, square_in(place, size), ink)
    pen.text(words, inner, ink, role=role, bold=True, align="centre")


def emergency_key(kit: Kit, cap: Cap, rect: Rect, hands: Hands) -> Widget:
    """Return the emergency stop: red on yellow, latched until it is turned back."""
    words, turn = tell(cap.words), say("latched: press to turn it back")

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        down = hands.down(cap.key)
        pen.box(place, palette.yellow, radius=0.5)
        face = place.inflate(-2 * pen.px(0.28), -2 * pen.px(0.28))
        pen.box(face, palette.red, palette.dark if down else palette.red, radius=0.4, width=3)
        inner = inset(face, pen.px(0.45), 0)
        mark, inner = from_left(inner, pen.px(1.1), pen.px(0.4))
        symbol(pen, "turn" if down else cap.mark, square_in(mark, pen.px(1.0)), palette.dark)
        side, inner = from_right(inner, pen.px(0.7), pen.px(0.2))
        pen.text(cap.letter, side, palette.dark, role="fine", bold=True, align="right")
        if down:
            pen.block(turn, inner, palette.dark, role="fine", bold=True)
        else:
            pen.text(words, inner, palette.dark, role="body", bold=True)
        focus_ring(pen, place, mood)

    return Widget(
        f"key.{cap.key}", rect, paint, lambda: hands.down(cap.key),
        Act(press=lambda s: hands.press(s, cap.key), release=hands.release), label=words,
    )  # fmt: skip
