"""The zones of the saw in which hands can be, and how safe a zone can be made.

Never here: which act puts hands where (see `table`), and what is active in a zone (see `hazards`).
"""

from enum import IntEnum, StrEnum
from typing import Final

from sim.words.message import Message, plain


class Zone(StrEnum):
    """A part of the saw that hands reach into."""

    BAND = "band"
    WHEELS = "wheels"
    CUTTING_JAWS = "cutting_jaws"
    SHUTTLE_JAWS = "shuttle_jaws"
    SHUTTLE_PATH = "shuttle_path"
    UNDER_HEAD = "under_head"
    SWING = "swing"
    OUTFEED = "outfeed"
    CABINET = "cabinet"
    FLOOR = "floor"
    CONSOLE = "console"
    OUTSIDE = "outside"


class Demand(IntEnum):
    """What must hold while hands are in a zone, in rising order; by the plant's truth, never a sensor's."""

    OUTSIDE = 0
    STANDS = 1  # what comes near there stands; who could start it is not asked
    OWN_CONTROL = 2  # everything in reach stands, nothing can fall, and no one else can start it
    LOCKED_OUT = 3


HARMLESS: Final = (Zone.CONSOLE, Zone.OUTSIDE)

UNDER_HOOD: Final = (Zone.SHUTTLE_JAWS, Zone.SHUTTLE_PATH)
"""What the infeed hood covers, on a saw that has one."""

WALK_S: Final[dict[Zone, float]] = {
    Zone.BAND: 4.0, Zone.WHEELS: 6.0, Zone.CUTTING_JAWS: 4.0, Zone.SHUTTLE_JAWS: 5.0,
    Zone.SHUTTLE_PATH: 6.0, Zone.UNDER_HEAD: 4.0, Zone.SWING: 5.0, Zone.OUTFEED: 5.0,
    Zone.CABINET: 4.0, Zone.FLOOR: 4.0, Zone.CONSOLE: 0.0, Zone.OUTSIDE: 3.0,
}  # fmt: skip
"""Seconds from the console to where hands go in; chosen for this saw. Walking exposes nobody."""

WHERE: Final[dict[Zone, Message]] = {
    Zone.BAND: plain("zone.band", "in reach of the band"),
    Zone.WHEELS: plain("zone.wheels", "at the wheels of the band"),
    Zone.CUTTING_JAWS: plain("zone.cutting-jaws", "between the jaws of the cutting vise"),
    Zone.SHUTTLE_JAWS: plain("zone.shuttle-jaws", "between the jaws of the shuttle vise"),
    Zone.SHUTTLE_PATH: plain("zone.shuttle-path", "in the way of the shuttle"),
    Zone.UNDER_HEAD: plain("zone.under-head", "under the head"),
    Zone.SWING: plain("zone.swing", "in the swing of the head"),
    Zone.OUTFEED: plain("zone.outfeed", "at the outfeed, beside the band"),
    Zone.CABINET: plain("zone.cabinet", "in the electrical cabinet"),
    Zone.FLOOR: plain("zone.floor", "on the floor beside the saw"),
    Zone.CONSOLE: plain("zone.console", "at the console"),
    Zone.OUTSIDE: plain("zone.outside", "outside the saw"),
}  # fmt: skip


def kind_of_strike(zone: Zone) -> str:
    """Return the kind of harm that hands come to in a zone."""
    return f"struck-{zone.value.replace('_', '-')}"


AT_SCREW: Final = "struck-tracking-screw"
"""What hands come to that lead the band from outside its cover; the row of the wheels is of those behind it."""
STRIKES: Final = frozenset((AT_SCREW, *map(kind_of_strike, Zone)))
