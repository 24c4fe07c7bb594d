"""The logic bench: why not, rungs, force and jumper, trace; one of them at a time."""

from collections.abc import Callable
from typing import Final

from pygame import Rect

from sim.view.kit.column import Column, Filled
from sim.view.kit.controls import choice
from sim.view.kit.pen import Kit
from sim.view.play.play import Play
from sim.view.play.sheet import Sheet
from sim.view.sheets.meddling_sheet import meddling
from sim.view.sheets.rung_picture import rungs
from sim.view.sheets.state_lanes import trace
from sim.view.sheets.why_sheet import why_not
from sim.words.message import Message, plain
from sim.words.speech import tell

# Name, words on its key, and what shows it.
_PARTS: Final[tuple[tuple[str, Message, Callable[[Kit, Rect, Play], Filled]], ...]] = (
    ("why", plain("bench.part.why", "Why not"), why_not),
    ("rungs", plain("bench.part.rungs", "Rungs"), rungs),
    ("meddle", plain("bench.part.meddle", "Force and jumper"), meddling),
    ("trace", plain("bench.part.trace", "Trace"), trace),
)
_SHOWS: Final = {name: shows for name, _, shows in _PARTS}
PARTS: Final = tuple(_SHOWS)


def bench(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return the choice of a part and the part that is open."""
    column = Column(kit, area)
    options = tuple((name, tell(words)) for name, words, _ in _PARTS)
    place = column.place(area.width, 1.8)
    column.add(choice(kit, "bench.part", place, options, lambda: play.bench.part, play.show_part))
    column.space(0.4)
    rest = Rect(area.left, column.top, area.width, 0)
    widgets, high = _SHOWS[play.bench.part](kit, rest, play)
    return [*column.widgets, *widgets], column.top + high - area.top


SHEET: Final = Sheet(
    "bench",
    plain("saw.tab.bench", "Bench"),
    bench,
    live=True,
    tall=True,
    moved=lambda play: play.bench.moved(),
    part=lambda play: play.bench.part,
)
