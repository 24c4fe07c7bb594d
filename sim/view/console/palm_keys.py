"""The two palm keys, at the two ends of the console: further apart than one hand reaches.

They are hollow until a start waits for them, and ringed blue while it does: then they must be pressed.
"""

from pygame import Rect

from sim.session.session import Session
from sim.view.console.keys import letter_cap, letter_width
from sim.view.kit.controls import focus_ring
from sim.view.kit.layout import inset, rows
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.play.console_rows import Cap, letter_of
from sim.view.play.hands import Hands
from sim.words.speech import say, tell


def _now() -> str:
    return say("press both now")


def palm_width(kit: Kit) -> int:
    """Return how wide a palm key is, px."""
    return max(kit.px(6.8), kit.letters.width(_now(), "fine", True) + 2 * kit.px(0.5))


def palm_key(kit: Kit, cap: Cap, rect: Rect, session: Session, hands: Hands) -> Widget:
    """Return one of the two."""
    words, letter, now = tell(cap.words), letter_of(cap), _now()
    controller = session.saw.controller

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        down, wanted = hands.down(cap.key), bool(controller.asked)
        edge = palette.white if down else palette.blue if wanted else palette.edge
        width = pen.px(0.25) if down or wanted else pen.hairline
        fill = palette.ink if down else palette.raised if wanted or mood.hovered else palette.panel
        pen.box(place, fill, edge, radius=1.2, width=width)
        ink = palette.dark if down else palette.ink if wanted else palette.soft
        upper, middle, lower = rows(inset(place, pen.px(0.5), pen.px(0.3)), (1.3, 1, 1))
        symbol(pen, cap.mark, square_in(upper, min(upper.height, pen.px(1.4))), ink)
        pen.text(words, middle, ink, role="small", bold=True, align="centre")
        if wanted and not down:
            pen.text(now, lower, ink, role="fine", bold=True, align="centre")
        else:
            spot = Rect(0, 0, letter_width(pen.kit, letter), lower.height)
            spot.center = lower.center
            letter_cap(pen, spot, letter, ink)
        focus_ring(pen, place, mood)

    def face() -> tuple[bool, bool]:
        return hands.down(cap.key), bool(controller.asked)

    return Widget(
        f"key.{cap.key}", rect, paint, face,
        Act(press=lambda s: hands.press(s, cap.key), release=hands.release), label=words,
    )  # fmt: skip
