"""The form of a sheet: what lies under the picture while its tab is open.

Never here: any sheet of its own; each has a file, and `pages.tabs` lists them.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from pygame import Rect

from sim.view.kit.column import Filled
from sim.view.kit.pen import Kit
from sim.view.play.play import Play
from sim.words.message import Message


def _never(_play: Play) -> bool:
    return False


def _whole(_play: Play) -> str:
    return ""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet.

    Args:
        name: What it is called in the program.
        title: On its tab.
        fill: Fills a place from its top.
        live: Whether it shows changes by itself; else it is built anew after every event.
        tall: Whether it takes all the height that it can get, where the others take as much as the console.
        tags: Whose tags the picture must have while it is open: nobody's, set-up points', devices'.
        moved: Whether it must be built anew for something that is no event.
        part: What of it is open, where it has parts: each keeps how far it was scrolled.
    """

    name: str
    title: Message
    fill: Callable[[Kit, Rect, Play], Filled]
    live: bool = False
    tall: bool = False
    tags: Literal["", "points", "devices"] = ""
    moved: Callable[[Play], bool] = _never
    part: Callable[[Play], str] = _whole
