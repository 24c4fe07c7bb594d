"""What stands across the stage: that time stands, who made it stand, and what an instructor has told.

That time stands is said in the line over the picture, in place of what is heard, so that nothing
moves as it comes and goes. A note has a strip of its own, with the key that takes it as read.
"""

from typing import Final

from pygame import Rect

from sim.view.console.coach import fitted_lines
from sim.view.kit.controls import MAIN, button, button_width
from sim.view.kit.layout import from_left, from_right, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.play.play import Play
from sim.words.fields import count
from sim.words.message import plain, row
from sim.words.speech import tell

_PAUSED: Final = plain("window.stands.paused", "PAUSED: space lets time go on")
_ON_COPY: Final = plain(
    "window.stands.on-copy", "Shown on a copy: your saw waits. Any key or click ends it."
)
_FROZEN: Final = plain("window.stands.frozen", "FROZEN by the instructor, who lets it go on")
_READ: Final = plain("window.note.read", "I have read it")
_READ_ONE: Final = row("window.note.read-one", "I have read it ({left} more)", left=count())
_ICON_EMS: Final = 1.3


def time_stands(play: Play) -> str:
    """Return how time stands in a run that is not over: `copy`, `paused`, `frozen`, or empty where it runs."""
    if play.session.over:
        return ""
    if play.on_copy.running:
        return "copy"
    return "frozen" if play.session.frozen else "paused" if play.paused else ""


def stands_banner(kit: Kit, rect: Rect, play: Play, phase: str) -> Widget:
    """Return the banner that says that time stands, and at what; a click lets it go on where it may.

    Args:
        kit: Letters and colours.
        rect: Where it goes.
        play: Whose time it is.
        phase: What the saw is about, in words.
    """
    stands = time_stands(play)
    frozen = stands == "frozen"
    words = tell(_ON_COPY if stands == "copy" else _FROZEN if frozen else _PAUSED)

    def paint(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        fill = {"copy": palette.guide, "frozen": palette.blue}.get(stands, palette.yellow)
        pen.box(place, fill, palette.white if mood.hovered else fill, radius=0.25, width=2)
        mark, body = from_left(inset(place, pen.px(0.5), 0), pen.px(1.0), pen.px(0.5))
        sign = {"copy": "hand", "frozen": "lock"}.get(stands, "pause")
        symbol(pen, sign, square_in(mark, pen.px(0.95)), palette.dark)
        wide = min(pen.letters.width(words, "body", True) + 4, body.width)
        first, rest = from_left(body, wide, pen.px(1.0))
        pen.fitted(words, first, ("body", "small", "fine"), palette.dark, bold=True)
        if phase and pen.letters.width(phase, "small") <= rest.width:
            pen.text(phase, rest, palette.dark, role="small", align="right")

    act = None if stands in ("frozen", "copy") else Act(click=play.toggle_pause, focus=False)
    return Widget("stands", rect, paint, lambda: frozen, act, label=words)


def note_height(kit: Kit, width: int, play: Play) -> int:
    """Return how high the strip of an instructor's note is, 0 where all was read, px."""
    unread = play.notes.unread
    if not unread:
        return 0
    inner = width - button_width(kit, _key(play)) - kit.px(_ICON_EMS + 2.6)
    lines = kit.letters.height(tell(unread[0]), "body", max(inner, kit.px(8)))
    return max(lines + kit.px(0.6), kit.px(2.4), 40)


def _key(play: Play) -> str:
    left = len(play.notes.unread) - 1
    return tell(_READ_ONE(left=left) if left else _READ)


def note_strip(kit: Kit, rect: Rect, play: Play) -> Widget:
    """Return the strip with the oldest note that nobody has read."""
    said, words = tell(play.notes.unread[0]), _key(play)

    def read() -> None:
        play.notes.read()
        play.refresh()

    place, rest = from_right(rect, button_width(kit, words), kit.px(0.5))
    high = min(max(kit.px(2.0), 24), rect.height)
    spot = Rect(place.left, rect.centery - high // 2, place.width, high)

    def paint(pen: Pen, at: Rect, _mood: Mood) -> None:
        palette = pen.palette
        pen.box(at, palette.panel, palette.blue, radius=0.3, width=pen.hairline + 2)
        inner = inset(at, pen.px(0.6), pen.px(0.2))
        mark, body = from_left(inner, pen.px(_ICON_EMS), pen.px(0.6))
        symbol(pen, "hand", square_in(mark, pen.px(_ICON_EMS)), palette.blue)
        fitted_lines(pen, body, said)

    told = Widget("note.said", rest, paint, label=said)
    return Widget("note", rect, children=[told, button("note.read", spot, words, read, style=MAIN)])
