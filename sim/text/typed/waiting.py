"""Letting time pass until something happens, or until it is clear that nothing will.

Never here: the words of the language.
"""

from collections.abc import Callable, Sequence
from typing import Final

from sim.session.session import Session
from sim.text.typed.reading import LONGEST_WAIT_S, STATES
from sim.units import US
from sim.words.fields import clock
from sim.words.message import Message, plain, row, sentences

_NO_PIECE: Final = plain("wait.piece.none", "No piece will come: the job does not run.")
_NO_JOB: Final = plain("wait.job.none", "There is nothing to wait for: the job does not run.")
_GIVEN_UP: Final = plain("wait.given-up", "Everything stands still, so the wait was given up.")
_NOT_TODAY: Final = plain("wait.a-day", "It did not come about within a day.")
_WAITED: Final = row(
    "wait.done", "Waited {time}; it is now {now}.", time=clock(tenths=True), now=clock(tenths=True)
)

AT_REST: Final = ("STOPPED", "IDLE", "COMPLETE", "HELD", "ABORTED")


def for_seconds(session: Session, seconds: float) -> Message:
    """Wait so long; return how it ended."""
    since_us = session.saw.clock.now_us
    session.advance(seconds)
    return _waited(session, since_us)


def for_piece(session: Session) -> Message:
    """Wait for the next piece, or for the job to come to rest; return how it ended."""
    before = session.tally.pieces
    if _job_rests(session):
        return _NO_PIECE
    return _until(session, lambda: session.tally.pieces > before or _job_rests(session))


def for_job(session: Session) -> Message:
    """Wait for the job to end or to hold; return how it ended."""
    if _job_rests(session):
        return _NO_JOB
    return _until(session, lambda: _job_rests(session))


def for_stillness(session: Session) -> Message:
    """Wait until nothing moves and nothing is timed; return how it ended."""
    return _until(session, lambda: session.saw.clock.still)


def for_states(session: Session, names: Sequence[str]) -> Message:
    """Wait until machines are in states by their dotted names; return how it ended."""
    wanted = [STATES[name] for name in names]
    machines = session.saw.controller.machines
    return _until(session, lambda: all(machines[m].state == state for m, state in wanted))


def _job_rests(session: Session) -> bool:
    return session.saw.controller.job.state in AT_REST


def _until(session: Session, reached: Callable[[], bool]) -> Message:
    since_us = session.saw.clock.now_us
    end_us = since_us + round(LONGEST_WAIT_S * US)
    while not reached():
        due_us = session.saw.clock.next_us()
        if session.over or session.frozen:
            break
        if due_us is None or session.saw.clock.still:
            return sentences(_GIVEN_UP, *(r.said for r in session.saw.controller.waits_for()))
        if due_us > end_us:
            session.advance_us(end_us - session.saw.clock.now_us)
            return _NOT_TODAY
        session.advance_us(due_us - session.saw.clock.now_us)
    return _waited(session, since_us)


def _waited(session: Session, since_us: int) -> Message:
    now_us = session.saw.clock.now_us
    return _WAITED(time=now_us - since_us, now=now_us)
