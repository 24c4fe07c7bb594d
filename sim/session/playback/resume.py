"""Goes on with a shift of orders from its record, whole or cut, in a record of its own.

The old record stays as it is. The new one begins with the same acts, says in its opening which record it
goes on from and where, and so tells the whole shift by itself.

Never here: what a trainee does next.
"""

from dataclasses import replace
from pathlib import Path
from typing import Final

from sim.errors import RecordError
from sim.kernel.clock import Allowance
from sim.records.folder import today
from sim.records.kinds import UNSOUND
from sim.records.reading import SessionRecord
from sim.records.rows import Fork
from sim.session.playback.recorded import origin_of
from sim.session.playback.replay import live_again, most_calls_of, playable, replay_of
from sim.session.shift.by_hand import ByHand
from sim.session.shift.opening import lasting_at, recorded_shift
from sim.words.message import plain

_NO_SHIFT: Final = plain("resume.no-shift", "this is not the record of a shift of orders")
_OF_SHIFT: Final = plain("resume.no-shift.to-do", "only a shift goes on from its record; name one")
_OTHERWISE: Final = plain(
    "resume.otherwise", "played again, the shift comes to something else than its record tells"
)


def resume(record: SessionRecord, path: Path | None = None, *, recorded: bool = True) -> ByHand:
    """Return a shift that stands where a record of it ends.

    Args:
        record: Of the shift.
        path: The new record, which must not exist yet; None for a new one in the record folder.
        recorded: Whether it keeps a record.

    Raises:
        RecordError: It is of no shift or of another version, a line of it does not fit, it plays
            otherwise than it tells, or the new one cannot be written.
        ScenarioError: What stands in it of shift or machine is refused.
    """
    if not record.opening.of_shift:
        raise RecordError(_NO_SHIFT, record.name, _OF_SHIFT)
    for left_out in record.left_out:
        raise RecordError(left_out.what, left_out.place, UNSOUND)
    if not replay_of(record).same:  # before there is a new file
        raise RecordError(_OTHERWISE, record.name, UNSOUND)
    opening = record.opening
    fork = Fork(record.head, record.last_us)
    origin = replace(origin_of(record), day=today(), fork=fork)
    lasting = lasting_at(path, opening.scenario) if recorded else None
    shop = recorded_shift(origin, opening.machine, None, lasting)
    shop.session.lasting = lasting
    shop.session.saw.clock.allowance = Allowance(most_calls_of(record))
    live_again(shop.session, record.name, playable(record))
    shop.session.saw.clock.allowance = None
    return shop
