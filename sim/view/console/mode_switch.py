"""The mode switch with its three positions, and the enabling device under it.

While the switch is turned the saw has no mode, and the switch says so.
"""

from functools import partial
from typing import Final

from pygame import Rect

from sim.session.session import Session
from sim.view.console.keys import key_row, letter_cap, letter_width
from sim.view.kit.controls import focus_ring, text
from sim.view.kit.layout import columns, from_left, from_right, from_top, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.play.asking import may
from sim.view.play.console_rows import CAPS, PARTS, PRESS_THROUGH, TITLES, Cap, letter_of
from sim.view.play.hands import ENABLE, LET_GO, MIDDLE, THROUGH, Hands
from sim.words.fields import one_of
from sim.words.message import Message, plain, row
from sim.words.speech import say, tell

_MODES: Final = next(part for part in PARTS if part.name == "mode").caps
_NOW: Final = row(
    "console.mode.now", "now: {mode}", mode=one_of("MANUAL", "MAINTENANCE", "PRODUCTION", "NONE")
)
# The positions of the enabling device: how far, and its words.
_POSITIONS: Final = (
    (LET_GO, plain("console.enable.let-go", "let go")),
    (MIDDLE, plain("console.enable.middle", "middle")),
    (THROUGH, plain("console.enable.through", "through")),
)


def mode_height(kit: Kit, *, wide: bool) -> int:
    """Return how high switch and enabling device are, px."""
    line, gap = kit.letters.line("fine"), kit.px(0.25)
    if wide:
        return 2 * (line + key_row(kit)) + 3 * gap
    return 3 * line + 4 * key_row(kit) + 7 * gap


def mode_switch(kit: Kit, rect: Rect, session: Session, hands: Hands, *, wide: bool) -> Widget:
    """Return both: one under the other at the left edge, or in lines over all of the width."""
    line, gap = kit.letters.line("fine"), kit.px(0.25)
    title, rest = from_top(rect, line, gap)
    heading, now = from_left(title, kit.letters.width(tell(TITLES["mode"]), "fine", True), gap * 3)
    children = [text("mode.title", heading, tell(TITLES["mode"]), role="fine", bold=True)]
    if wide:
        children.append(_now(now, session))
        row_place, rest = from_top(rest, key_row(kit), gap)
        places = columns(row_place, (1, 1.35, 1.3), gap)
    else:
        places = []
        for _ in _MODES:
            place, rest = from_top(rest, key_row(kit), gap)
            places.append(place)
        spot, rest = from_top(rest, line, gap * 2)
        children.append(_now(spot, session))
    children += [
        _position(cap, place, session, hands) for cap, place in zip(_MODES, places, strict=True)
    ]
    title, rest = from_top(rest, line, gap)
    for letter in (PRESS_THROUGH.upper(), letter_of(CAPS[ENABLE])):
        side, title = from_right(title, letter_width(kit, letter), gap // 2)
        children.append(_letter(f"enable.{letter}", side, letter))
    words = tell(TITLES[ENABLE])
    if kit.letters.width(words, "fine", True) > title.width:
        words = say("ENABLING")
    children.append(text("enable.title", title, words, role="fine", bold=True))
    cells = columns(from_top(rest, key_row(kit))[0], (1, 1, 1.1), 0)
    children += [
        _squeeze(place, session, hands, *position)
        for place, position in zip(cells, _POSITIONS, strict=True)
    ]
    return Widget("mode", rect, children=children)


def _letter(name: str, rect: Rect, letter: str) -> Widget:
    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        letter_cap(pen, place, letter, pen.palette.ink)

    return Widget(name, rect, paint, label=letter)


def _now(rect: Rect, session: Session) -> Widget:
    """Return the mode that counts, which is none while the switch is turned."""
    image = session.saw.controller.image

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        mode = str(image["mode"])
        colour = pen.palette.ink if mode != "NONE" else pen.palette.white
        pen.fitted(tell(_NOW(mode=mode)), place, ("fine",), colour, bold=mode == "NONE")

    return Widget("mode.now", rect, paint, lambda: image["mode"], label=say("mode"))


def _position(cap: Cap, rect: Rect, session: Session, hands: Hands) -> Widget:
    """Return one position of the switch: its knob points to one, and that one's mode may count yet."""
    image = session.saw.controller.image
    mode = cap.key.partition(".")[2].upper()
    words, letter = tell(cap.words), letter_of(cap)

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        points, counts = hands.down(cap.key), image["mode"] == mode
        fill = palette.ink if counts else palette.lit if mood.hovered else palette.sunk
        pen.box(place, fill, palette.white if points else palette.edge, radius=0.3,
                width=pen.hairline + (2 if points else 0))  # fmt: skip
        ink = palette.dark if counts else palette.ink
        inner = inset(place, pen.px(0.35), 0)
        mark, inner = from_left(inner, pen.px(0.8), pen.px(0.3))
        symbol(pen, "start" if points else "ring", square_in(mark, pen.px(0.7)), ink)
        side, inner = from_right(inner, letter_width(pen.kit, letter), pen.px(0.2))
        letter_cap(pen, side, letter, ink)
        pen.fitted(words, inner, ("small", "fine"), ink, bold=True)
        focus_ring(pen, place, mood)

    def face() -> tuple[bool, object]:
        return hands.down(cap.key), image["mode"]

    return Widget(
        f"key.{cap.key}", rect, paint, face,
        Act(press=lambda s: hands.press(s, cap.key), release=hands.release), label=words,
    )  # fmt: skip


def _squeeze(rect: Rect, session: Session, hands: Hands, to: int, message: Message) -> Widget:
    """Return one position of the enabling device; a click leaves the other hand pressing it so far."""
    words = tell(message)

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        here, allowed = hands.squeezed == to, may(session, ENABLE)
        fill = palette.panel if not allowed else palette.lit if mood.hovered else palette.raised
        ink = palette.ink if allowed else palette.soft
        if here and to != LET_GO:
            fill, ink = palette.ink, palette.dark
        pen.box(place, fill, palette.white if here else palette.hair, radius=0.2,
                width=pen.hairline + (1 if here else 0))  # fmt: skip
        pen.text(words, inset(place, pen.px(0.1), 0), ink, role="fine", align="centre")
        focus_ring(pen, place, mood)

    def face() -> tuple[int, bool]:
        return hands.squeezed, may(session, ENABLE)

    name = {LET_GO: "enable.let_go", MIDDLE: "key.enable", THROUGH: "enable.through"}[to]
    return Widget(
        name, rect, paint, face, Act(click=partial(hands.leave_squeezed, to)), label=words
    )
