"""The alarms on the console: text in the order they came, the first one marked; none is a dark lamp."""

from typing import Final

from pygame import Rect

from sim.view.kit.controls import text
from sim.view.kit.layout import from_bottom, from_left, from_top, inset
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Mood, Widget
from sim.view.play.alarms import Alarm, Alarms
from sim.words.fields import clock, count, part
from sim.words.message import Message, plain, row
from sim.words.speech import say, tell

_FIRST: Final = row("console.alarm.first", "{at}  first: {alarm}", at=clock(), alarm=part())
_LATER: Final = row("console.alarm.later", "{at}  {alarm}", at=clock(), alarm=part())
_GONE: Final = row(
    "console.alarm.gone", "{at}  first, gone again: {alarm}", at=clock(), alarm=part()
)
_NONE: Final = plain("console.alarm.none", "No alarm.")
_DARK: Final = plain("console.alarm.dark", "Without control power no alarm is shown.")
_READY: Final = plain("console.ready", "ready: nothing on the machine blocks a start")
_NOT_READY: Final = plain("console.not-ready", "not ready: ask the start key why")
_MARK_EMS: Final = 1.2  # for the mark before them
_UNDER_WAY: Final = plain("console.under-way", "a job is under way")


def alarm_words(line: Alarm) -> Message:
    """Return a line of the list."""
    form = _LATER if not line.first else _FIRST if line.stands else _GONE
    return form(at=line.at_us, alarm=line.lamp.word)


def alarm_lines(kit: Kit, rect: Rect, alarms: Alarms) -> Widget:
    """Return the list under its title, and below it whether the saw is ready for a start."""
    inner = inset(rect, kit.px(0.4), kit.px(0.2))
    title, rest = from_top(inner, kit.letters.line("fine"), kit.px(0.2))
    wide = rest.width - kit.px(_MARK_EMS)
    low = max(
        kit.letters.height(tell(said), "fine", wide) for said in (_READY, _NOT_READY, _UNDER_WAY)
    )
    ready, body = from_bottom(rest, low)
    children = [
        text("alarms.title", title, say("ALARMS"), role="fine", bold=True),
        _list(body, alarms),
        _ready(ready, alarms),
    ]

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        pen.box(place, pen.palette.sunk, pen.palette.hair, radius=0.3)

    return Widget("alarms", rect, paint, children=children)


def _list(rect: Rect, alarms: Alarms) -> Widget:
    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        lines = alarms.lines
        if not lines:
            none = tell(_NONE if alarms.live else _DARK)
            pen.block(none, place, palette.soft, role="fine")
            return
        top = place.top
        for number, line in enumerate(lines):
            words = tell(alarm_words(line))
            body = Rect(place.left + pen.px(1.2), top, place.width - pen.px(1.2), 0)
            high = pen.letters.height(words, "fine", body.width, line.first)
            left = len(lines) - number
            if top + high > place.bottom:  # the newest that do not fit are counted
                rest = Rect(place.left, place.bottom - pen.letters.line("fine"), place.width, 0)
                rest.height = pen.letters.line("fine")
                pen.fill(rest, palette.sunk)
                pen.text(tell(_MORE(count=left)), rest, role="fine", bold=True)
                return
            spot, _ = from_left(
                Rect(place.left, top, place.width, pen.letters.line("fine")), pen.px(0.8)
            )
            colour = getattr(palette, line.lamp.colour) if line.stands else palette.soft
            symbol(
                pen,
                line.lamp.shape if line.stands else "ring",
                square_in(spot, pen.px(0.7)),
                colour,
            )
            body.height = high
            ink = palette.ink if line.stands else palette.soft
            pen.block(words, body, ink, role="fine", bold=line.first)
            top += high

    return Widget(
        "alarms.lines", rect, paint, lambda: (alarms.lines, alarms.live), label=say("alarms")
    )


def _ready(rect: Rect, alarms: Alarms) -> Widget:
    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        spot, body = from_left(place, pen.px(0.8), pen.px(_MARK_EMS) - pen.px(0.8))
        spot.height = pen.letters.line("fine")
        on = alarms.ready
        symbol(pen, "disc" if on else "ring", square_in(spot, pen.px(0.7)),
               palette.green if on else palette.soft)  # fmt: skip
        words = _READY if on else _NOT_READY if alarms.waits else _UNDER_WAY
        pen.block(tell(words), body, palette.soft, role="fine")

    def face() -> tuple[bool, bool]:
        return alarms.ready, alarms.waits

    return Widget("alarms.ready", rect, paint, face, label=say("ready"))


_MORE: Final = row("console.alarm.more", "and {count} more", count=count())
