"""What stands against a key now: the sentences, the devices behind them, and whether the job drives it.

Never here: what would happen if it were pressed (see `teaching.way_out`).
"""

from typing import Final

from sim.control.actions import BY_NAME as ACTIONS
from sim.control.interlocks import When
from sim.control.nouns import THE
from sim.logic.bench.trace import Trace
from sim.logic.bench.why_not import Against, origin_of, why_not
from sim.saw import Saw
from sim.session.known import key_called
from sim.words.fields import part
from sim.words.message import NOTHING, Message, row

_JOB_DRIVES: Final = row(
    "session.job-drives",
    "{station} is in AUTO. The job drives it, and its keys are refused until it is in HAND.",
    station=part(capital=True),
)


def against(saw: Saw, action: str) -> tuple[Message, ...]:
    """Return what stands against an action now, with the remedy; empty when nothing does.

    Raises:
        CommandError: There is no such key.
    """
    key_called(action, "why")
    if action not in ACTIONS:
        return ()
    station = action.partition(".")[0]
    in_auto = saw.controller.image.get(f"mode.{station}") == "AUTO"
    origin = When.AUTO if in_auto and station != "job" else When.HAND
    refusals = saw.controller.refusals(action, origin)
    return tuple(refusal.said for refusal in refusals)


def devices_against(saw: Saw, trace: Trace, action: str) -> tuple[Against, ...]:
    """Return what stands against an action now, down to the devices and their last changes.

    Raises:
        CommandError: There is no such key.
    """
    key_called(action, "why")
    return why_not(saw, trace, action) if action in ACTIONS else ()


def job_drives(saw: Saw, action: str) -> Message:
    """Return that an action's keys are refused because the job drives its station, or nothing."""
    station = action.partition(".")[0]
    by_job = action in ACTIONS and origin_of(saw.controller.image, action) is When.AUTO
    if not by_job or station == "job":
        return NOTHING
    return _JOB_DRIVES(station=THE[station])
