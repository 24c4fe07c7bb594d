"""The sheet of the hydraulic circuit: its sections side by side, in as many rows as the width asks for."""

from typing import Final

from pygame import Rect

from sim.view.circuit.drawing import stretch
from sim.view.circuit.rows import HIGH, STRETCHES, Stretch
from sim.view.kit.column import Column, Filled
from sim.view.kit.pen import Kit
from sim.view.kit.widget import Widget
from sim.view.play.play import Play
from sim.view.play.sheet import Sheet
from sim.words.message import plain
from sim.words.speech import tell

_READ: Final = plain(
    "circuit.read",
    "Thick lines are under pressure. Of each valve the bright box counts; a filled coil is on.",
)
_AS_DRIVEN: Final = plain(
    "circuit.as-driven",
    "In a drill valves and pump are drawn as a lamp or the meter showed them last, and gauges as ?: they are for you to read.",
)


def circuit(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return how the drawing is read, and the sections."""
    column = Column(kit, area)
    column.paragraph("circuit.read", tell(_READ), role="fine", soft=True)
    if play.oil.hides:
        column.paragraph("circuit.as-driven", tell(_AS_DRIVEN), role="fine", bold=True)
    column.space(0.4)
    widgets: list[Widget] = list(column.widgets)
    top, high = column.top, kit.px(HIGH)
    for line in _lines(area.width / kit.em):
        left = area.left
        for row in line:
            wide = kit.px(row.wide)
            widgets.append(stretch(Rect(left, top, wide, high), row, play.session, play.oil))
            left += wide
        top += high
    return widgets, top - area.top


def _lines(room: float) -> list[list[Stretch]]:
    """Return the sections by rows that fit the room, ems."""
    lines: list[list[Stretch]] = [[]]
    for row in STRETCHES:
        if lines[-1] and sum(each.wide for each in (*lines[-1], row)) > room:
            lines.append([])
        lines[-1].append(row)
    return lines


SHEET: Final = Sheet("circuit", plain("saw.tab.circuit", "Oil"), circuit, live=True, tall=True)
