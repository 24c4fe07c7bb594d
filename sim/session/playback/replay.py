"""Plays a record again: the same acts at the same times must end in the same state."""

import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from hashlib import sha256
from itertools import islice, takewhile
from pathlib import Path
from typing import Final

from sim.errors import DrycycleError, RecordError
from sim.kernel.clock import Allowance
from sim.records.acts import Act, Rewound
from sim.records.kinds import UNSOUND
from sim.records.reading import LeftOut, SessionRecord, read_record
from sim.session.kept.heard import ON_RECORD, Event
from sim.session.playback.acting import broken_off, meanwhile, play
from sim.session.playback.recorded import session_of
from sim.session.playback.rewind import go_back
from sim.session.session import Session
from sim.words.fields import clock, number, part
from sim.words.message import NOTHING, Message, plain, row

__all__ = [
    "CALLS_A_LINE", "MOST_CALLS", "Playable", "Replay", "broken_off", "meanwhile", "most_calls_of", "play", "playable",
    "replay", "replay_of",
]  # fmt: skip

_ENDS_EARLY: Final = row(
    "replayed.ends-early", "The record ends early, after line {line}: {cut}.",
    line=number(), cut=part(),
)  # fmt: skip
_SEALED: Final = row(
    "replayed.sealed",
    "At {at} the instructor put a fault in or took one out; which one, only the closing line tells. "
    "The record is played up to there; what follows is as recorded, not played again.",
    at=clock(tenths=True),
)
_NOT_PLAYED: Final = row("replayed.not-played", "the act cannot be played: {why}", why=part())
MOST_CALLS: Final = 1_000_000  # of the clock in one record; 480 hours of sawing come to no more,
CALLS_A_LINE: Final = 100  # and so many more a line: an hour of sawing has a hundred lines and more
_NOT_PLAYED_ON: Final = row(
    "replayed.not-played-on", "it cannot be played to its end: {why}", why=part()
)
_TOO_EARLY: Final = plain("replayed.too-early", "the act before it was still under way then")


@dataclass(frozen=True, slots=True)
class Replay:
    """What came of playing a record again."""

    session: Session
    recorded: str  # digest of the state at the close; of a cut record, of what happened in it
    played: str
    cut: Message = NOTHING  # where and how the record ends early; nothing when it is whole
    left_out: tuple[LeftOut, ...] = ()  # lines that do not fit
    not_played: Message = NOTHING  # from where on nothing was played, and why; nothing if all was
    as_recorded: tuple[Event, ...] = ()  # what the record tells of the time after that

    @property
    def same(self) -> bool:
        """Whether both came to the same."""
        return self.recorded == self.played


@dataclass(frozen=True, slots=True)
class Playable:
    """What of a record can be played, and what it only tells."""

    acts: Iterator[tuple[int, Act]]  # each with the number of its line; read as they are played
    end_us: int
    not_played: Message  # why nothing is played from there on; nothing where all of it is
    as_recorded: tuple[Event, ...]  # what happened after that
    told: Iterator[Event]  # what happened up to there, as recorded


def playable(record: SessionRecord) -> Playable:
    """Return what of a record can be played: all of it, or up to a seal that nothing opens."""
    unopened = record.unopened
    if unopened is None:
        return Playable(record.acts, record.last_us, NOTHING, (), _events(record))
    line = unopened.line
    return Playable(
        takewhile(lambda numbered: numbered[0] < line, record.acts),
        unopened.at_us, _SEALED(at=unopened.at_us),
        tuple(islice(_events(record), unopened.events, None)),
        islice(_events(record), unopened.events),
    )  # fmt: skip


def _events(record: SessionRecord) -> Iterator[Event]:
    return (Event(each.at_us, each.event, each.message) for each in record.events)


def replay(path: Path, *, allow_cut: bool = False) -> Replay:
    """Return the replay of a record; as `replay_of`, from its file.

    Args:
        path: The record's file.
        allow_cut: Play a record whose end is missing as far as it goes. It has no last state to
            compare with, so what happened on the machine up to there is compared.

    Raises:
        RecordError: The record is missing, cut short, edited, of another engine or format, or its
            acts cannot be played.
        ScenarioError: Its scenario is not in it, and not here.
    """
    return replay_of(read_record(path, allow_cut=allow_cut))


def most_calls_of(record: SessionRecord) -> int:
    """Return how much may happen in a record before playing it is given up.

    A long session has many lines. One with few lines and a far end was let stand, or was forged.
    """
    return MOST_CALLS + CALLS_A_LINE * record.count


def replay_of(
    record: SessionRecord,
    most_calls: int | None = None,
    watch: Callable[[Session], None] = lambda _session: None,
) -> Replay:
    """Return the replay of a record; raises as `replay` does.

    Args:
        record: What is played.
        most_calls: How much may happen before it is given up; by `most_calls_of` when left out.
        watch: Called with the session before anything is done in it, and with each that one goes back to.
    """
    record.check_engine()
    session = session_of(record)
    most = most_calls_of(record) if most_calls is None else most_calls
    session.saw.clock.allowance = Allowance(most)
    watch(session)
    to_play = playable(record)
    session = live_again(session, record.name, to_play, watch)
    left_out = tuple(record.left_out)
    if record.closing is None:
        return _as_far_as_it_goes(session, record, to_play)
    return Replay(session, record.closing.state, session.close(), left_out=left_out)


def live_again(
    session: Session,
    name: str,
    to_play: Playable,
    watch: Callable[[Session], None] = lambda _session: None,
) -> Session:
    """Have a session live through what of a record can be played; return the one that goes on.

    Args:
        session: As it was opened.
        name: What to call the record, for places in it.
        to_play: Of the record.
        watch: Called with each session that one goes back to.

    Raises:
        RecordError: An act cannot be played.
    """
    for number_, act in to_play.acts:
        session = _play(session, act, f"{name}:{number_}", watch)
    try:
        session.advance_us(max(to_play.end_us - session.saw.clock.now_us, 0))
    except DrycycleError as fault:
        raise RecordError(_NOT_PLAYED_ON(why=fault.what), name, UNSOUND) from fault
    return session


def _as_far_as_it_goes(session: Session, record: SessionRecord, played: Playable) -> Replay:
    """Return the replay of a record without its end."""
    told, recorded = _digest(played.told)
    kept = (each for each in session.heard.events if each.kind in ON_RECORD)
    _, again = _digest(islice(kept, told))
    cut = _ENDS_EARLY(line=record.count, cut=record.cut)
    session.close()
    return Replay(
        session, recorded, again, cut, tuple(record.left_out), played.not_played,
        played.as_recorded,
    )  # fmt: skip


def _digest(events: Iterable[Event]) -> tuple[int, str]:
    """Return how many events there are, and the digest of all of them."""
    digest, count = sha256(), 0
    for each in events:
        count += 1
        said = (each.kind.value, each.at_us, each.message.plain())
        digest.update(f"{json.dumps(said, sort_keys=True)}\n".encode())
    return count, digest.hexdigest()


def _play(session: Session, act: Act, where: str, watch: Callable[[Session], None]) -> Session:
    """Do an act at its time; return the session that goes on, another one where the act goes back."""
    try:
        ahead_us = act.at_us - session.saw.clock.now_us
        if ahead_us < 0:
            raise RecordError(_NOT_PLAYED(why=_TOO_EARLY), where, UNSOUND)
        session.advance_us(ahead_us)
        if isinstance(act, Rewound):
            return go_back(session, act.to_us, watch)
        if session.going.doing is not None and not meanwhile(act):
            raise RecordError(_NOT_PLAYED(why=_TOO_EARLY), where, UNSOUND)
        play(session, act, wait=False)
    except DrycycleError as fault:
        raise RecordError(_NOT_PLAYED(why=fault.message), where, UNSOUND) from fault
    return session
