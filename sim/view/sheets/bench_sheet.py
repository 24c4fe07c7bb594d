"""The logic bench: why not, rungs, force and jumper, trace; one of them at a time."""

from collections.abc import Callable
from typing import Final

from pygame import Rect

from sim.view.kit.column import Column
from sim.view.kit.controls import choice
from sim.view.kit.pen import Kit
from sim.view.kit.words import say
from sim.view.play.bench_choice import PARTS
from sim.view.play.play import Play
from sim.view.sheets.meddling_sheet import meddling
from sim.view.sheets.rung_picture import rungs
from sim.view.sheets.sheets import Sheet
from sim.view.sheets.state_lanes import trace
from sim.view.sheets.why_sheet import why_not

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
