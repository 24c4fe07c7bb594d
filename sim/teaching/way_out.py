"""The way out of a refusal, for a session: found over the tables, done on a copy of its saw.

The copy is made by playing the session's own acts again. In a drill the way is
found but not tried, because what the copy does would tell what is wrong with it. In an assessment no
way is told.
"""

from typing import Final

from sim.control.actions import BY_NAME
from sim.logic.bench.freeing import free, search
from sim.logic.bench.way import Way
from sim.saw import Saw
from sim.session.opening import twin_of
from sim.session.playback.replay import play
from sim.session.session import Session
from sim.words.message import plain

_PROVED_IN: Final = ("practice", "lesson")
_NOT_TRIED: Final = plain("way.not-tried", "in a drill it is not tried for you")


def fresh_session(session: Session) -> Session:
    """Return another session that stands exactly where this one does, its lesson too."""
    copy = twin_of(session)
    for act in session.done.acts:
        copy.advance_us(act.at_us - copy.saw.clock.now_us)
        play(copy, act)
    copy.advance_us(session.saw.clock.now_us - copy.saw.clock.now_us)
    return copy


def fresh_saw(session: Session) -> Saw:
    """Return another saw that stands exactly where the session's does."""
    return fresh_session(session).saw


def way_out(session: Session, action: str) -> Way | None:
    """Return the shortest way to an action; None when there is none, or none may be told."""
    mode = session.scenario.mode
    if action not in BY_NAME or session.over or session.frozen or mode == "assessment":
        return None
    if mode in _PROVED_IN:
        return free(lambda: fresh_saw(session), action)
    steps = search(session.saw, action)
    return None if steps is None else Way(steps, False, _NOT_TRIED)
