"""The signal strip: the last minute of chosen wires as a timing diagram, newest at the right.

In a drill or an assessment a wire is told as the lamps or the meter showed it when they were read last: the
lamps are behind the window of the cabinet, and reading them is a look, with its time, as in the terminal.
"""

from functools import partial
from typing import Final

from pygame import Rect

from sim.session.inspections import METER_S
from sim.session.sights.known import hides
from sim.signals import SIGNALS, Signal, Source
from sim.view.kit.column import Column, Filled
from sim.view.kit.controls import button, button_width, choice, focus_ring
from sim.view.kit.layout import from_left, from_right
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.symbols import square_in, symbol
from sim.view.kit.widget import Act, Mood, Widget
from sim.view.play.last_minute import SPAN_S
from sim.view.play.play import Play
from sim.view.play.sheet import Sheet
from sim.view.sheets.wires_read import METER_KEY, as_read, look_keys
from sim.words.message import plain
from sim.words.speech import reader, say, tell

GROUPS: Final = tuple(
    (name, plain(f"signals.{name}", name)) for name in ("chosen", "keys", "switches", "outputs")
)
_SOURCES: Final = {
    "keys": (Source.KEY, Source.LATCH, Source.SWITCH),
    "switches": (Source.SENSOR,),
    "outputs": (Source.CONTROL,),
}
_GRID_S: Final = 10.0


def signals(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the choice of wires and their rows."""
    column = Column(kit, area)
    options = tuple((name, tell(words)) for name, words in GROUPS)
    place = column.place(area.width, 1.8)
    column.add(choice(kit, "signals.group", place, options, lambda: play.group, play.show_group))
    column.space(0.3)
    if hides(play.session):
        look_keys(kit, column, play)
    else:
        column.add(axis(kit, column))
    for row in _rows(play):
        column.add(wire(kit, column, play, row))
    if not _rows(play):
        column.paragraph("signals.none", say("Choose wires from the other lists."), soft=True)
    return column.widgets, column.top - area.top


def chosen_rows(play: Play) -> list[Signal]:
    """Return the wires on the chosen list."""
    return [row for row in SIGNALS if row.tag in play.chosen]


def _rows(play: Play) -> list[Signal]:
    if play.group == "chosen":
        return chosen_rows(play)
    return [row for row in SIGNALS if row.source in _SOURCES[play.group]]


def split(kit: Kit, rect: Rect) -> tuple[Rect, Rect, Rect]:
    """Return the places of the name, the diagram and the meter key of a row."""
    words = reader().quantity(METER_S, "s")
    meter, rest = from_right(
        rect, button_width(kit, words, role="small") + kit.px(0.4), kit.px(0.4)
    )
    name, diagram = from_left(rest, max(rect.width * 2 // 5, kit.px(12)), kit.px(0.4))
    return name, diagram, meter


def axis(kit: Kit, column: Column) -> Widget:
    """Return the line of times over the diagrams, and go below it."""
    rect = Rect(column.left, column.top, column.width, kit.letters.line("fine"))
    column.top = rect.bottom
    _, diagram, meter = split(kit, rect)
    now, meter_word = say("now"), say("meter")

    def paint(pen: Pen, _place: Rect, _mood: Mood) -> None:
        for step in range(1, int(SPAN_S / _GRID_S)):
            x = diagram.right - round(diagram.width * step * _GRID_S / SPAN_S)
            spot = Rect(x - pen.px(2), diagram.top, pen.px(4), diagram.height)
            words = reader().quantity(-step * _GRID_S, "s")
            pen.text(words, spot, pen.palette.soft, role="fine", align="centre")
        right = Rect(diagram.right - pen.px(3), diagram.top, pen.px(3), diagram.height)
        pen.text(now, right, pen.palette.soft, role="fine", align="right")
        pen.text(meter_word, meter, pen.palette.soft, role="fine", align="centre")

    return Widget("signals.axis", rect, paint, label=say("time"))


def wire(kit: Kit, column: Column, play: Play, row: Signal) -> Widget:
    """Return one wire's name, last minute and meter key, and go below it."""
    high = max(kit.px(1.65), 24)
    rect = Rect(column.left, column.top, column.width, high)
    column.top = rect.bottom
    name, diagram, meter = split(kit, rect)
    words = tell(row.text)
    quiet = row.tag not in play.marked

    def paint_name(pen: Pen, place: Rect, mood: Mood) -> None:
        palette = pen.palette
        if mood.hovered or not quiet:
            pen.fill(place, palette.raised)
        chosen = row.tag in play.chosen
        mark, rest = from_left(place, place.height, pen.px(0.2))
        symbol(pen, "tick" if chosen else "ring", square_in(mark, pen.px(0.7)),
               palette.green if chosen else palette.soft)  # fmt: skip
        tag, rest = from_left(rest, pen.px(2.6), pen.px(0.3))
        pen.text(row.tag, tag, role="small", bold=True)
        pen.fitted(words, rest, ("small", "fine"))
        focus_ring(pen, place, mood)

    def face() -> bool:
        return row.tag in play.chosen

    children = [
        Widget(f"signal.{row.tag}", name, paint_name, face,
               Act(click=partial(play.choose_signal, row.tag)), label=f"{row.tag}: {words}"),
        as_read(play, row, diagram) if hides(play.session) else _diagram(play, row, diagram),
        button(f"meter.{row.tag}", meter, reader().quantity(METER_S, "s"),
               partial(play.inspect, f"meter {row.tag}"), style=METER_KEY),
    ]  # fmt: skip
    return Widget(f"signal.{row.tag}.row", rect, children=children)


def _diagram(play: Play, row: Signal, rect: Rect) -> Widget:
    saw = play.session.saw
    px_us = SPAN_S * 1e6 / max(rect.width, 1)

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        per_s = place.width / SPAN_S
        top, low = place.top + place.height // 5, place.bottom - place.height // 5
        for step in range(1, int(SPAN_S / _GRID_S)):
            pen.fill(
                Rect(place.right - round(step * _GRID_S * per_s), place.top, 1, place.height),
                palette.hair,
            )
        for from_s, to_s, level in play.trace.stretches(row.tag):
            left, right = place.right - round(from_s * per_s), place.right - round(to_s * per_s)
            wide = max(right - left, 1)
            if level:
                pen.fill(Rect(left, top, wide, low - top), palette.raised)
                pen.fill(Rect(left, top, wide, 2), palette.white)
            else:
                pen.fill(Rect(left, low - 1, wide, 1), palette.edge)
            if from_s < SPAN_S:
                pen.fill(Rect(left, top, 1, low - top), palette.white)

    def face() -> tuple[int, int]:
        return int(saw.clock.now_us // px_us), play.trace.count(row.tag)

    return Widget(f"signal.{row.tag}.line", rect, paint, face, label=row.tag)


SHEET: Final = Sheet(
    "signals", plain("saw.tab.signals", "Signals"), signals, live=True, tags="devices"
)
