"""What an operator complains of, in one word: the group in which a drill is looked for.

It follows from the report alone, which whoever takes the drill reads first, and so tells nothing of the cause.

Never here: how a report is told (`text.complaint`), or what it says of the causes.
"""

from collections.abc import Callable
from typing import Final

from sim.scenario.reported import NO_START, Reported

_WET: Final = frozenset({"cut-dry", "coolant-poor"})

# The first that fits is the drill's.
_ROWS: Final[tuple[tuple[str, Callable[[Reported], object]], ...]] = (
    ("power", lambda told: told.control in ("refused", "dropped", "dark")),
    ("hand", lambda told: told.ran == "by hand"),
    ("start", lambda told: told.stands_at == NO_START),
    ("stands", lambda told: told.stands_at is not None),
    ("coolant", lambda told: told.floor == "wet" or _WET.intersection(told.harm or ())),
    ("length", lambda told: told.length is not None and told.length.all_are != "right"),
    ("face", lambda told: told.face in ("crooked", "dented")),
    ("slow", lambda told: told.took == "long"),
    ("lamp", lambda told: told.lamps),
)
OTHER: Final = "other"
GROUPS: Final = (*(name for name, _ in _ROWS), OTHER)


def said_of(told: Reported | None) -> str:
    """Return the group of a report; empty where there is none."""
    if told is None:
        return ""
    return next((name for name, fits in _ROWS if fits(told)), OTHER)
