"""The lamps of the desk, drawn; the controller decides which are lit.

Each has its colour, its word and a picture of its own, so that none is told by colour alone.
"""

from pygame import Rect

from sim.control.lamps import LAMPS, Lamp, lit
from sim.saw import Saw
from sim.view.kit.layout import from_left, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget
from sim.words.speech import tell


def lamp(row: Lamp, rect: Rect, saw: Saw) -> Widget:
    """Return the widget of one lamp."""
    words = tell(row.word)

    def is_lit() -> bool:
        return row in lit(saw.controller.image)

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        on = is_lit()
        colour = getattr(palette, row.colour)
        pen.box(place, colour if on else palette.sunk, colour if on else palette.hair, radius=0.3)
        spot, rest = from_left(inset(place, pen.px(0.45), 0), pen.px(0.95), pen.px(0.4))
        ink = palette.dark if on else palette.soft
        symbol(pen, row.mark, square_in(spot, pen.px(0.85)), ink)
        pen.text(words, rest, ink, role="small", bold=on)

    return Widget(f"lamp.{row.name}", rect, paint, is_lit, label=words)


def lamp_width(kit: Kit) -> int:
    """Return how wide the widest lamp is, px."""
    widest = max(kit.letters.width(tell(row.word), "small", True) for row in LAMPS)
    return widest + kit.px(0.45) * 2 + kit.px(0.95) + kit.px(0.4) + 2
