"""What blocks a key now: the sentences, and the devices behind them; and what a job stands waiting for.

Never here: what would happen if it were pressed (see `teaching.way_out`).
"""

from typing import Final

from sim.control.actions import BY_NAME as ACTIONS
from sim.logic.bench.trace import Trace
from sim.logic.bench.why_not import Against, why_not
from sim.saw import Saw
from sim.session.known import key_called
from sim.words.fields import part
from sim.words.message import Message, plain, row

VARIATOR: Final = ("band.slower", "band.faster")
"""Keys that are wired through: nothing is asked, and without control power they do nothing."""

_WAITS: Final = row("why.job-waits", "The job stands and waits: {what}", what=part())
_TRIP_LINE: Final = plain(
    "why.trip-line.taken",
    "The trip line is latched: it stops the band and lowering, and a held key still moves the rest, so "
    "that somebody caught can be freed. See who is at the infeed before you press it.",
)


def against(saw: Saw, action: str) -> tuple[Message, ...]:
    """Return what blocks an action now, with the remedy; empty when nothing does.

    Raises:
        CommandError: There is no such key.
    """
    key_called(action, "why")
    if action in VARIATOR:
        return tuple(refusal.said for refusal in saw.controller.without_power())
    if action not in ACTIONS:
        return ()
    return tuple(refusal.said for refusal in saw.controller.blocks(action))


def devices_against(saw: Saw, trace: Trace, action: str) -> tuple[Against, ...]:
    """Return what blocks an action now, down to the devices and their last changes.

    Raises:
        CommandError: There is no such key.
    """
    key_called(action, "why")
    return why_not(saw, trace, action) if action in ACTIONS else ()


def still_taken(saw: Saw, action: str) -> tuple[Message, ...]:
    """Return why a key moves its part though the trip line is latched; nothing where it is not."""
    moves = action in ACTIONS and bool(ACTIONS[action].halt)
    return (_TRIP_LINE,) if moves and saw.controller.image["latch.trip_line"] else ()


def stands_waiting(saw: Saw) -> tuple[Message, ...]:
    """Return the first thing that a job waits for which stands still; nothing where none does."""
    if not saw.clock.still:
        return ()
    return tuple(_WAITS(what=refusal.said) for refusal in saw.controller.waits_for()[:1])
