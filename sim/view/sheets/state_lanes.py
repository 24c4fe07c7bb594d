"""The last minute of the machines' states: one lane each, the name of a state where it has room.

Like every display it is dark while the console has no voltage.
"""

from collections.abc import Iterator

from pygame import Rect

from sim.control.table import TABLES
from sim.logic.bench.trace import Trace
from sim.session.sights.controller_words import console_lit
from sim.session.sights.known import hides
from sim.units import US
from sim.view.kit.column import Column, Filled
from sim.view.kit.pen import Kit, Pen
from sim.view.kit.widget import Mood, Widget
from sim.view.play.key_words import called_subject, state_of
from sim.view.play.last_minute import SPAN_S
from sim.view.play.play import Play
from sim.view.sheets.signal_sheet import axis, chosen_rows, split, wire
from sim.words.speech import tell


def trace(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return a lane for every machine, and under them the chosen wires on the same time."""
    column = Column(kit, area)
    column.add(axis(kit, column))
    for table in TABLES:
        column.widgets += _lane(kit, column, play, table.name)
    column.space(0.4)
    if hides(play.session):  # the wires are on their own sheet, as they were read
        return column.widgets, column.top - area.top
    for row in chosen_rows(play):
        column.add(wire(kit, column, play, row))
    return column.widgets, column.top - area.top


def stretches(kept: Trace, name: str, now_us: int) -> Iterator[tuple[float, float, str]]:
    """Yield the last minute of one machine, the newest first: from, to (s before now), its state."""
    end_s = 0.0
    if kept.last_change(name) is not None:
        for change in kept.latest():
            if change.tag != name:
                continue
            ago_s = (now_us - change.time_us) / US
            yield min(ago_s, SPAN_S), end_s, str(change.value)
            if ago_s >= SPAN_S:
                return
            end_s = ago_s
    yield SPAN_S, end_s, str(kept.first[name])


def _lane(kit: Kit, column: Column, play: Play, name: str) -> list[Widget]:
    high = max(kit.px(1.5), 22)
    rect = Rect(column.left, column.top, column.width, high)
    column.top = rect.bottom
    left, diagram, _ = split(kit, rect)
    saw = play.session.saw
    px_us = SPAN_S * US / max(diagram.width, 1)
    kept = play.session.trace
    title = tell(called_subject(name))

    def paint_title(pen: Pen, place: Rect, _mood: Mood) -> None:
        pen.fitted(title, place, ("small", "fine"), bold=True)

    def face() -> tuple[int, object, bool]:
        return int(saw.clock.now_us // px_us), kept.last_change(name), console_lit(play.session)

    def paint(pen: Pen, place: Rect, _mood: Mood) -> None:
        palette = pen.palette
        per_s = place.width / SPAN_S
        pen.fill(Rect(place.left, place.bottom - 1, place.width, 1), palette.hair)
        if not console_lit(play.session):
            return
        for from_s, to_s, state in stretches(kept, name, saw.clock.now_us):
            left = place.right - round(from_s * per_s)
            right = place.right - round(to_s * per_s)
            pen.fill(Rect(left, place.top + 2, 1, place.height - 3), palette.edge)
            room = Rect(left + pen.px(0.3), place.top, right - left - pen.px(0.4), place.height)
            words = tell(state_of(name, state))
            if pen.letters.width(words, "fine") <= room.width:
                pen.text(words, room, role="fine")

    return [
        Widget(f"lane.{name}.title", left, paint_title, label=title),
        Widget(f"lane.{name}", diagram, paint, face, label=title),
    ]
