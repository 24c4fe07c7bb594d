"""The logic bench: why not, rungs, force and jumper, trace; one of them at a time.

Imports the four of them.
"""

from collections.abc import Callable
from typing import Final

from pygame import Rect

from sim.view.bench_choice import PARTS
from sim.view.column import Column
from sim.view.controls import choice
from sim.view.meddling_sheet import meddling
from sim.view.pen import Kit
from sim.view.play import Play
from sim.view.rung_picture import rungs
from sim.view.sheets import Sheet
from sim.view.state_lanes import trace
from sim.view.why_sheet import why_not
from sim.view.words import say

_SHOWS: Final[dict[str, Callable[[Kit, Rect, Play], Sheet]]] = {
    "why": why_not, "rungs": rungs, "meddle": meddling, "trace": trace,
}  # fmt: skip


def bench(kit: Kit, area: Rect, play: Play) -> Sheet:
    """Return the choice of a part and the part that is open."""
    column = Column(kit, area)
    options = tuple((name, say(words)) for name, words in PARTS)
    place = column.place(area.width, 1.8)
    column.add(choice(kit, "bench.part", place, options, lambda: play.bench.part, play.show_part))
    column.space(0.4)
    rest = Rect(area.left, column.top, area.width, 0)
    widgets, high = _SHOWS[play.bench.part](kit, rest, play)
    return [*column.widgets, *widgets], column.top + high - area.top
