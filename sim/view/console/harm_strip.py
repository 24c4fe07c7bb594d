"""The strip that tells what came to harm in a run that goes on, with the way back and the way on.

Never here: what came to harm, and what going back does.
"""

from collections.abc import Callable
from typing import Final

from pygame import Rect

from sim.view.console.coach import fitted_lines
from sim.view.kit.controls import PLAIN, button, button_width
from sim.view.kit.layout import from_left, from_right, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget
from sim.view.play.back_key import back_button, back_width
from sim.view.play.play import Play
from sim.words.speech import say, tell

_ICON_EMS: Final = 1.4
_LEAST_EMS: Final = 12  # of the words, with less the keys stand under them


def _room(kit: Kit, width: int, *, short: bool) -> int:
    """Return how wide the words are beside the keys, px."""
    keys = back_width(kit, short=short) + button_width(kit, say("Go on with it")) + 2 * kit.px(0.4)
    return width - keys - kit.px(_ICON_EMS + 2.4)


def _short(kit: Kit, width: int) -> bool:
    return _room(kit, width, short=False) < kit.px(_LEAST_EMS)


def _stacked(kit: Kit, width: int) -> bool:
    return _room(kit, width, short=True) < kit.px(_LEAST_EMS)


def harm_height(kit: Kit, width: int, play: Play) -> int:
    """Return how high the strip is, px; 0 where nothing came to harm."""
    harm = play.aftermath.strip
    if harm is None:
        return 0
    stacked = _stacked(kit, width)
    inner = _room(kit, width, short=_short(kit, width))
    if stacked:
        inner = width - kit.px(_ICON_EMS + 2.4)
    lines = kit.letters.height(tell(harm.row.title), "body", max(inner, kit.px(8)))
    keys = max(kit.px(2.0), 24) + kit.px(0.4)
    return max(lines + kit.px(0.7) + (keys if stacked else 0), kit.px(2.5), 40)


def harm_strip(kit: Kit, rect: Rect, play: Play, go_back: Callable[[], None]) -> Widget:
    """Return the strip with its two keys, at its right, or under the words where there is little room."""
    harm = play.aftermath.strip
    title = tell(harm.row.title) if harm is not None else ""

    def go_on() -> None:
        play.aftermath.read()
        play.refresh()

    high = min(max(kit.px(2.0), 24), rect.height)
    words, gap = say("Go on with it"), kit.px(0.4)
    wide = button_width(kit, words)
    said = rect
    if _stacked(kit, rect.width):
        top = rect.bottom - high - kit.px(0.2)
        said = Rect(rect.left, rect.top, rect.width, max(top - rect.top, 0))
        wide = min(wide, rect.width // 3)
        back = Rect(rect.left + gap, top, min(back_width(kit), rect.width - wide - 3 * gap), high)
        on = Rect(back.right + gap, top, wide, high)
    else:
        place, said = from_right(said, wide, gap)
        on = Rect(place.left - kit.px(0.2), rect.centery - high // 2, wide, high)
        place, said = from_right(said, back_width(kit, short=_short(kit, rect.width)), gap)
        back = Rect(place.left - kit.px(0.2), on.top, place.width, high)

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        pen.box(place, palette.panel, palette.red, radius=0.3, width=pen.hairline + 1)
        inner = inset(said, pen.px(0.6), pen.px(0.2))
        mark, body = from_left(inner, pen.px(_ICON_EMS), pen.px(0.6))
        symbol(pen, "octagon", square_in(mark, pen.px(_ICON_EMS)), palette.red)
        fitted_lines(pen, body, title)

    told = Widget("harm.said", said, label=title)
    keys = (
        back_button(kit, "harm.back", back, go_back),
        button("harm.on", on, words, go_on, style=PLAIN),
    )
    return Widget("harm", rect, paint, label=title, children=[told, *keys])
