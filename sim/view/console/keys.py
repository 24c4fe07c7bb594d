"""The keys of the console: down while they are held, hollow when they are not allowed now.

Keys act on press and on release. Never here: whether a key is taken, which the session knows.
"""

from collections.abc import Callable
from typing import Final

import pygame
from pygame import Rect

from sim.session.session import Session
from sim.session.sights.controller_words import console_lit
from sim.view.kit.controls import focus_ring
from sim.view.kit.layout import from_left, from_right, inset
from sim.view.kit.palette import Colour, Palette
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.play.asking import may
from sim.view.play.console_rows import EMERGENCY, STOPS, Cap, letter_of
from sim.view.play.hands import Hands, needs_palms
from sim.words.speech import say, tell


def key_row(kit: Kit) -> int:
    """Return the height of a key, px."""
    return max(kit.px(1.95), 24)


def _colours(palette: Palette, style: str) -> tuple[Colour, Colour, Colour]:
    """Return fill, edge and ink of a key that is allowed."""
    looks = {
        "start": (palette.white, palette.white, palette.dark),
        "stop": (palette.black, palette.edge, palette.white),
        "reset": (palette.blue, palette.blue, palette.dark),
    }
    return looks.get(style, (palette.raised, palette.edge, palette.ink))


def cap_key(
    kit: Kit, cap: Cap, rect: Rect, session: Session, hands: Hands, words: str = "",
    named: str = "key",
) -> Widget:  # fmt: skip
    """Return a key: down while it is held, hollow when it is not allowed, its letter in the corner.

    Args:
        kit: Letters and colours.
        cap: Which key.
        rect: Where it goes.
        session: Whose console it is.
        hands: What presses it.
        words: On it, where they are others than the cap's.
        named: What the widget's name begins with.
    """
    words = words or tell(cap.words)
    letter, palms = letter_of(cap), needs_palms(cap.key)
    chosen = _chosen_by(session, cap)

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        down, allowed = hands.down(cap.key), may(session, cap.key)
        fill, edge, ink = _colours(palette, cap.style)
        if not allowed:  # hollow: the ground shows through, a thin outline is left
            fill, edge, ink = palette.panel, palette.hair, palette.soft
        elif mood.hovered and not down and fill == palette.raised:
            fill = palette.lit
        refused = is_refused(hands, cap)
        on = down or chosen()
        pen.box(place, palette.white if on else palette.yellow if refused else edge, radius=0.35)
        line = pen.hairline + (pen.px(0.16) if on else 2 if refused else 0)
        face = place.inflate(-2 * line, -2 * line)
        pen.box(face, fill, radius=0.3)
        latched = down and cap.style == "latch"
        plain = place.inflate(-2 * pen.hairline, -2 * pen.hairline)  # words stay where they are
        _face(pen, plain, cap, say("isolator on") if latched else words, letter, ink, palms=palms)
        focus_ring(pen, place, mood)

    def face() -> tuple[bool, bool, bool, bool]:
        return (
            hands.down(cap.key), may(session, cap.key), is_refused(hands, cap), chosen(),
        )  # fmt: skip

    return Widget(
        f"{named}.{cap.key}", rect, paint, face,
        Act(press=lambda s: hands.press(s, cap.key), release=hands.release, at_once=cap.key in STOPS),
        label=words,
    )  # fmt: skip


def _chosen_by(session: Session, cap: Cap) -> Callable[[], bool]:
    """Return a look at whether a choice stands where this key puts it."""
    image = session.saw.controller.image
    subject, _, value = _CHOICES.get(cap.key, "").partition("=")
    return lambda: bool(subject) and image[subject] == value and console_lit(session)


_CHOICES: Final = {
    "coolant.off": "coolant_choice=OFF",
    "coolant.with_band": "coolant_choice=WITH_BAND",
    "coolant.on": "coolant_choice=ON",
    "job.square": "first=SQUARE",
    "job.straight": "first=STRAIGHT",
}


def is_refused(hands: Hands, cap: Cap) -> bool:
    """Return whether this is the key that was refused last."""
    told = hands.refused
    return told is not None and told.refusal and told.key == cap.key


def letter_width(kit: Kit, letter: str) -> int:
    """Return how wide the letter that presses a key is with its outline, px."""
    return max(kit.letters.width(letter, "fine", True), kit.px(0.5)) + 2 * kit.px(0.2)


def letter_cap(pen: Pen, place: Rect, letter: str, ink: Colour) -> None:
    """Draw the letter as on a key of a keyboard, so that it is not read with the words beside it."""
    high = min(pen.letters.line("fine"), place.height - 4)
    outline = Rect(place.left, place.centery - high // 2, place.width, high)
    pygame.draw.rect(pen.surface, ink, outline, 1, pen.px(0.2))
    pen.text(letter, outline, ink, role="fine", bold=True, align="centre")


def _face(
    pen: Pen, face: Rect, cap: Cap, words: str, letter: str, ink: Colour, *, palms: bool
) -> None:
    inner = inset(face, pen.px(0.3), 0)
    if letter:
        side, inner = from_right(inner, letter_width(pen.kit, letter), pen.px(0.25))
        letter_cap(pen, side, letter, ink)
    size, each = pen.px(0.8), pen.px(1.1)
    marks = [mark for mark in (cap.mark, "hand" if palms else "") if mark]
    role, room = "small", inner.width - pen.letters.width(words, "small", True)
    if room < each * len(marks):
        role, room = "fine", inner.width - pen.letters.width(words, "fine", True)
    fit = max(room // each, 0)
    for mark in marks[max(len(marks) - fit, 0) :]:  # that it takes both hands is said first
        place, inner = from_left(inner, size, pen.px(0.3))
        symbol(pen, mark, square_in(place, size), ink)
    pen.text(words, inner, ink, role=role, bold=True, align="centre")


def key_width(kit: Kit, cap: Cap) -> int:
    """Return how wide a key must be for its words and its letter, px."""
    wide = kit.letters.width(tell(cap.words), "fine", True)
    return wide + letter_width(kit, letter_of(cap)) + kit.px(1.05) + 6


def emergency_width(kit: Kit, room: int) -> int:
    """Return how wide the emergency stop is in a bar of a width: its words on one line, or on two."""
    words = tell(EMERGENCY.words)
    whole = kit.letters.width(words, "small", True)
    if whole + kit.px(5) <= room // 5:
        return whole + kit.px(5)
    longest = max(kit.letters.width(word, "fine", True) for word in words.split())
    return max(kit.px(9), longest + kit.px(4.5))


def emergency_corner(kit: Kit, rect: Rect, hands: Hands) -> tuple[Widget, Rect]:
    """Return the emergency stop at the right of a bar, apart from the rest, and the place that is left."""
    place, rest = from_right(rect, emergency_width(kit, rect.width), kit.px(1.4))
    return emergency_key(kit, EMERGENCY, place, hands), rest


def emergency_key(kit: Kit, cap: Cap, rect: Rect, hands: Hands, named: str = "key") -> Widget:
    """Return an emergency stop: red on yellow, latched until it is turned back.

    Args:
        kit: Letters and colours.
        cap: Which one.
        rect: Where it goes.
        hands: What presses it.
        named: What the widget's name begins with.
    """
    words, turn = tell(cap.words), say("latched: turn it back")
    letter = letter_of(cap)

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        down = hands.down(cap.key)
        pen.box(place, palette.yellow, radius=0.5)
        face = place.inflate(-2 * pen.px(0.28), -2 * pen.px(0.28))
        pen.box(face, palette.stop, palette.dark if down else palette.stop, radius=0.4, width=3)
        inner = inset(face, pen.px(0.35), 0)
        side, inner = from_right(inner, letter_width(pen.kit, letter), pen.px(0.2))
        letter_cap(pen, side, letter, palette.white)
        mark, rest = from_left(inner, pen.px(1.0), pen.px(0.3))
        lines = 1 + (pen.letters.width(words, "fine", True) > rest.width)
        if down or lines == 1 or face.height >= 2 * pen.letters.line("fine"):
            symbol(pen, "turn" if down else cap.mark, square_in(mark, pen.px(0.9)), palette.white)
            inner = rest
        shown = turn if down and pen.letters.width(turn, "fine", True) <= inner.width else words
        pen.fitted(shown, inner, ("body", "small", "fine"), palette.white, bold=True)
        focus_ring(pen, place, mood)

    return Widget(
        f"{named}.{cap.key}", rect, paint, lambda: hands.down(cap.key),
        Act(press=lambda s: hands.press(s, cap.key), release=hands.release, at_once=True),
        label=words,
    )  # fmt: skip
