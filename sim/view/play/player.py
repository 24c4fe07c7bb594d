"""Plays a session again in the window: forward with the clock, or straight to any moment of it.

A run is the same each time it is played, and playing is far quicker than life, so going back means
beginning anew and playing up to the moment. A record that was cut is played as far as it goes, and
not past a seal that nothing opens: what the machine did from there on nobody can tell without the
fault.
"""

from collections.abc import Callable, Sequence
from pathlib import Path

from sim.kernel.clock import Allowance
from sim.records.acts import Act
from sim.records.reading import SessionRecord, read_record
from sim.session.kept.heard import Event
from sim.session.opening import twin_of
from sim.session.playback.recorded import session_of
from sim.session.playback.replay import most_calls_of, play, playable
from sim.session.session import Session
from sim.words.message import NOTHING, Message


class Player:
    """One session, and where it is played to.

    Args:
        anew: Returns the session as it was opened.
        acts: What was done, in order, each with its time.
        end_us: When it ended, or from when on it cannot be played.
        not_played: Why not, a sentence or more; nothing where it ended.
        as_recorded: What the record tells of the time after that.
    """

    def __init__(
        self,
        anew: Callable[[], Session],
        acts: Sequence[Act],
        end_us: int,
        not_played: Message = NOTHING,
        as_recorded: Sequence[Event] = (),
    ) -> None:
        self.not_played, self.as_recorded = not_played, tuple(as_recorded)
        self._anew = anew
        self._acts = acts
        self.end_us = max([end_us, *(act.at_us for act in self._acts)])
        self._begin()
        self.seek(self.end_us)  # once to the end, for the marks of the scrubber
        self.events = tuple(self.session.heard.events)
        self._begin()

    def _begin(self) -> None:
        self.session = self._anew()
        self._next = 0

    @property
    def now_us(self) -> int:
        """Where it is played to."""
        return self.session.saw.clock.now_us

    @property
    def over(self) -> bool:
        """Whether it is played to its end."""
        return self.now_us >= self.end_us or self.session.over

    def seek(self, time_us: int) -> bool:
        """Go to a moment; return whether the session had to be begun anew."""
        time_us = min(max(time_us, 0), self.end_us)
        anew = time_us < self.now_us
        if anew:
            self._begin()
        while self._next < len(self._acts) and self._acts[self._next].at_us <= time_us:
            act = self._acts[self._next]
            self._next += 1
            self._wait_until(act.at_us)
            if not self.session.over:
                play(self.session, act, wait=False)
        self._wait_until(time_us)
        return anew

    def _wait_until(self, time_us: int) -> None:
        # A trial by hand takes its own time, and may have gone past the moment.
        if time_us > self.now_us:
            self.session.advance_us(time_us - self.now_us)


def player_of(session: Session) -> Player:
    """Return a player of a session that is over."""
    end_us = session.saw.clock.now_us
    return Player(lambda: twin_of(session), session.done.acts, end_us)


def player_from(path: Path) -> Player:
    """Return a player of a record.

    Raises:
        RecordError: The file is no record, was changed, or is of another version of the program.
        EffortError: Too much happens in it.
        ScenarioError: Its scenario is not in it, and not here.
    """
    return player_for(read_record(path, allow_cut=True))


def player_for(record: SessionRecord) -> Player:
    """Return a player of a record that was read.

    Raises:
        RecordError: It is of another version of the program.
        EffortError: Too much happens in it.
        ScenarioError: Its scenario is not in it, and not here.
    """
    record.check_engine()
    part = playable(record)
    acts = [act for _, act in part.acts]

    def anew() -> Session:
        session = session_of(record)
        session.saw.clock.allowance = Allowance(most_calls_of(record))
        return session

    return Player(anew, acts, part.end_us, part.not_played, part.as_recorded)
