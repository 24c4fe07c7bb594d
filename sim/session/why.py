"""What stands against a key now: the sentences, and the devices behind them.

Never here: what would happen if it were pressed (see `teaching.way_out`).
"""

from sim.control.actions import BY_NAME as ACTIONS
from sim.control.interlocks import When
from sim.logic.bench.trace import Trace
from sim.logic.bench.why_not import Against, why_not
from sim.saw import Saw
from sim.session.known import key_called
from sim.words.message import Message


def against(saw: Saw, action: str) -> tuple[Message, ...]:
    """Return what stands against an action now, with the remedy; empty when nothing does.

    Raises:
        CommandError: There is no such key.
    """
    key_called(action, "why")
    if action not in ACTIONS:
        return ()
    refusals = saw.controller.refusals(action, When.KEY)
    return tuple(refusal.said for refusal in refusals)


def devices_against(saw: Saw, trace: Trace, action: str) -> tuple[Against, ...]:
    """Return what stands against an action now, down to the devices and their last changes.

    Raises:
        CommandError: There is no such key.
    """
    key_called(action, "why")
    return why_not(saw, trace, action) if action in ACTIONS else ()
