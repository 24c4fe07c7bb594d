"""The answer to `why`: what blocks a key, down to the devices, and the shortest way out.

Never here: how either is found (see `logic.bench.why_not` and `teaching.way_out`).
"""

from collections.abc import Iterator
from typing import Final

from sim.logic.bench.way import Way
from sim.session.hands.cautions import before_key
from sim.session.session import Session
from sim.session.typed import listed
from sim.session.why import (
    VARIATOR,
    against,
    devices_against,
    runs_already,
    stands_waiting,
    still_taken,
    there_already,
    to_heed,
)  # fmt: skip
from sim.teaching.forewarning import forewarning, of_start
from sim.teaching.hands_on_way import beware_of_hands, or_locked_out
from sim.teaching.way_out import NOT_TRIED, breaks_off, way_out, why_none
from sim.text.way_lines import lines_of
from sim.words.fields import count, name, part
from sim.words.message import Message, plain, row, sentences

_NOTHING: Final = row("why.nothing", "Nothing blocks {name} now.", name=name())
_HAZARD: Final = row(
    "why.hazard", "{interlock} keeps you from {hazard}.", interlock=name(), hazard=part()
)
_TRIED: Final = plain("why.way.tried", "The shortest way, tried on a copy of this saw:")
_BY_TABLES: Final = row("why.way.by-tables", "The shortest way by the tables ({why}):", why=part())
_FAILED: Final = row(
    "why.way.failed",
    "The shortest way by the tables did not come to its end when it was tried on a copy of this saw. {why} The "
    "way is:",
    why=part(),
)
_STEP: Final = row("why.way.step", "{number}. {step}", number=count(), step=part())

# At most seven lines: three things against it and how many more, a device, a hazard, the way.
_AGAINST: Final = 3
_MORE: Final = row(
    "why.more", "{count} more thing blocks it.",
    plural="{count} more things block it.", count=count(),
)  # fmt: skip


def why(session: Session, key: str) -> tuple[Message, ...]:
    """Return what blocks a key now, a line each, and the way out; seven lines at most.

    It is asked on the record.

    Raises:
        CommandError: There is no such key, or the session is closed.
    """
    session.ask(key)
    found = against(session.saw, key)
    runs = runs_already(session.saw, key)
    notes = (*stands_waiting(session.saw), *runs, *still_taken(session.saw, key))
    heed = to_heed(session.saw, key)[: 1 if notes else 2]
    if not found:
        there = there_already(session.saw, key)
        said = (_NOTHING(name=key), *there, *forewarning(session, key), *heed, *notes)
        return (*said, *before_key(key))
    notes = (*heed, *notes)
    rows = devices_against(session.saw, session.trace, key)
    devices = [device.sentence for row in rows for device in row.devices]
    hazards = [_HAZARD(interlock=row.number, hazard=row.hazard) for row in rows if row.hazard]
    told = max(1, _AGAINST - len(notes))
    more = len(found) - told
    return (
        *notes, *found[:told], *((_MORE(count=more),) if more > 0 else ()), *devices[:1], *hazards[:1],
        *_way_out(session, key),
    )  # fmt: skip


def _heading(way: Way) -> Message:
    if way.verified:
        return _TRIED
    return (_BY_TABLES if way.stuck_at == NOT_TRIED else _FAILED)(why=way.stuck_at)


def _way_out(session: Session, key: str) -> Iterator[Message]:
    if session.scenario.mode == "assessment" or session.over or session.frozen:
        return
    key = "supply.control_on" if key in VARIATOR else key
    way = way_out(session, key)
    if way is None or way.harm:
        yield why_none(session, key, way)
        return
    steps = [_STEP(number=number, step=words) for number, words in enumerate(way.words, start=1)]
    heading = _heading(way)
    beware = (*breaks_off(session, way), *of_start(session, key))
    # Typed as it stands it would put hands in a saw that is not in one's own control.
    typed = (listed(lines_of(way)),) if way.in_control else or_locked_out(session, way)
    yield sentences(*beware, *beware_of_hands(way), heading, *steps, *typed)
