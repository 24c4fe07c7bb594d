"""The answer to `why`: what stands against a key, down to the devices, and the shortest way out.

Never here: how either is found (see `logic.bench.why_not` and `teaching.way_out`).
"""

from typing import Final

from sim.session.session import Session
from sim.session.why import against, devices_against
from sim.teaching.way_out import way_out
from sim.words.fields import count, name, part
from sim.words.message import Message, plain, row

_NOTHING: Final = row("why.nothing", "Nothing blocks {name} now.", name=name())
_HAZARD: Final = row(
    "why.hazard", "{interlock} keeps you from {hazard}.", interlock=name(), hazard=part()
)
_TRIED: Final = plain("why.way.tried", "The shortest way, tried on a copy of this saw:")
_BY_TABLES: Final = row("why.way.by-tables", "The shortest way by the tables ({why}):", why=part())
_STEP: Final = row("why.way.step", "{number}. {step}", number=count(), step=part())


def why(session: Session, key: str) -> tuple[Message, ...]:
    """Return what stands against a key now, a sentence each, and the way out."""
    found = against(session.saw, key)
    if not found:
        return (_NOTHING(name=key),)
    rows = devices_against(session.saw, session.trace, key)
    devices = dict.fromkeys(device.sentence for row in rows for device in row.devices)
    hazards = dict.fromkeys(
        _HAZARD(interlock=row.number, hazard=row.hazard) for row in rows if row.hazard
    )
    return (*found, *devices, *hazards, *_way_out(session, key))


def _way_out(session: Session, key: str) -> tuple[Message, ...]:
    way = way_out(session, key)
    if way is None:
        return ()
    steps = [_STEP(number=number, step=words) for number, words in enumerate(way.words, start=1)]
    return (_TRIED if way.verified else _BY_TABLES(why=way.stuck_at), *steps)
