"""The log: everything that happened, the newest first."""

from typing import Final

from pygame import Rect

from sim.view.kit.column import Column, Filled
from sim.view.kit.pen import Kit
from sim.view.play.play import Play
from sim.view.play.sheet import Sheet
from sim.view.play.telling import shown
from sim.words.message import plain
from sim.words.speech import reader, say, tell


def log(kit: Kit, area: Rect, play: Play) -> Filled:
    """Return everything that happened, the newest first."""
    column = Column(kit, Rect(area.left, area.top, area.width, 0))
    events = play.session.heard.events[-120:]
    if not events:
        column.paragraph("log.none", say("Nothing has happened yet."), soft=True)
    for index, event in enumerate(reversed(events)):
        column.stamped(f"log.{index}", reader().clock(event.at_us), event.kind, tell(shown(event)))
    return column.widgets, column.top - area.top


SHEET: Final = Sheet("log", plain("saw.tab.log", "Log"), log)
