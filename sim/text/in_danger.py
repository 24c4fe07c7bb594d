"""What sounds like an emergency stop, and the one name that it is answered with.

A search aid, no second name: what is typed wrongly is refused all the same. Whoever types it in danger
must not be sent to a stop that leaves control power on, or to a word that stops nothing.

Never here: how names are found else (see `names`).
"""

import re
from difflib import get_close_matches
from typing import Final

from sim.words.fields import name
from sim.words.message import Message, row

EMERGENCY_STOP: Final = "supply.emergency_stop"

_SOUNDS: Final = (
    "estop", "emergency", "emergencystop", "stopemergency", "emergencyoff", "emergencybutton", "supplyestop",
    "panic", "panicbutton", "mushroom", "redbutton", "notaus", "nothalt", "emergencia",
    "paradadeemergencia", "parodeemergencia", "setadeemergencia", "stopall", "halt",
)  # fmt: skip
_ALONE: Final = ("stop", "stopnow", "alto", "parada", "paro")
_CLOSE: Final = 0.8  # of difflib's ratio: estop and emergncy, but not step

_WRITE: Final = row("name.emergency-stop", "for the emergency stop write press {name}", name=name())


def sounds_like_it(given: str) -> bool:
    """Return whether what was typed, in any case and with any blanks and hyphens, means an emergency stop."""
    return bool(get_close_matches(_letters(given), _SOUNDS, n=1, cutoff=_CLOSE))


def is_a_cry(line: str) -> bool:
    """Return whether a whole line is nothing but a call for a stop."""
    return _letters(line) in (*_SOUNDS, *_ALONE)


def press_it() -> Message:
    """Return how the emergency stop is pressed."""
    return _WRITE(name=EMERGENCY_STOP)


def _letters(given: str) -> str:
    return re.sub(r"[\W_]", "", given.lower())
