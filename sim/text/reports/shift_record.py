"""`drycycle debrief` of the record of a shift of orders: the shift as it was told when it was played.

Never here: what is told (see `shift_report`).
"""

from pathlib import Path

from sim.bugs import TableError
from sim.debrief.shift_debrief import ShiftDebrief, shift_debrief
from sim.records.reading import SessionRecord
from sim.session.playback.replay import replay_of
from sim.session.session import Session
from sim.session.shift.by_hand import ByHand
from sim.shift.best import Planner
from sim.text.reports.replay_report import otherwise, tell_cut
from sim.text.reports.shift_run import check, tell
from sim.text.tables import print_said


def shop_of(session: Session) -> ByHand:
    """Return the shop of a session that is a shift at a trainee's hands."""
    if not isinstance(session.shop, ByHand):
        raise TableError("the session is no shift of orders")
    return session.shop


def debrief_of(shop: ByHand) -> ShiftDebrief:
    """Return the debrief of a shift that is over, all of it booked."""
    return shift_debrief(shop, Planner(shop.shift, built=shop.built), by_hand=True)


def debrief_shift(record: SessionRecord, output: Path | None, *, as_json: bool) -> int:
    """Print or write the debrief of a shift off its record; return 0, or 1 when it plays otherwise.

    Args:
        record: The record.
        output: Where it is written, a page or JSON; None for nowhere.
        as_json: Print JSON.

    Raises:
        RecordError: The record cannot be played.
        CommandError: The output cannot be written.
        ScenarioError: What stands in it of shift or machine is refused.
    """
    file = Path(record.name)
    check(output, file)
    played = replay_of(record)
    tell_cut(played)
    shop = shop_of(played.session)
    shop.book()
    tell(debrief_of(shop), output, file, as_json=as_json)
    if not played.same and not as_json:
        print_said(otherwise(played))
    return 0 if played.same else 1
