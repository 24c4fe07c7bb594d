"""Plays a session again in the window: forward with the clock, or straight to any moment of it.

A run is the same each time it is played, and playing is far quicker than life, so going back means
beginning anew and playing up to the moment. A record that was cut is played as far as it goes, and
not past a seal that nothing opens: what the machine did from there on nobody can tell without the
fault.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from sim.kernel.clock import Allowance
from sim.records.acts import Act, Rewound
from sim.records.reading import SessionRecord, read_record
from sim.session.kept.heard import Event
from sim.session.opening import twin_of
from sim.session.playback.recorded import session_of
from sim.session.playback.replay import most_calls_of, play, playable
from sim.session.playback.rewind import REBUILT, lived
from sim.session.session import Session
from sim.words.message import NOTHING, Message


@dataclass(frozen=True, slots=True)
class _Leg:
    """One stretch of a session, from one going back to the next."""

    begins_us: int  # on the scrubber, which goes on where the session's own time goes back
    from_us: int  # of the session's own time
    to_us: int
    stood: int  # how many acts of the legs before stand in it
    acts: tuple[Act, ...]  # those that came in it


def _legs(acts: Iterable[Act], end_us: int) -> tuple[_Leg, ...]:
    """Return the stretches of a session: one, and one more for each going back."""
    legs: list[_Leg] = []
    line: list[Act] = []  # what stands
    begins_us = from_us = stood = 0
    for act in acts:
        if isinstance(act, Rewound):
            legs.append(_Leg(begins_us, from_us, act.at_us, stood, tuple(line[stood:])))
            begins_us, from_us = begins_us + act.at_us - from_us, act.to_us
            while line and line[-1].at_us >= act.to_us:
                line.pop()
            stood = len(line)
        else:
            line.append(act)
    to_us = max([end_us, from_us, *(act.at_us for act in line[stood:])])
    return (*legs, _Leg(begins_us, from_us, to_us, stood, tuple(line[stood:])))


class Player:
    """One session, and where it is played to.

    Where the session went back its own time does so too; that of the player goes on, so that what was
    taken back is seen as it was lived.

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
        self._legs = _legs(acts, end_us)
        last = self._legs[-1]
        self.end_us = last.begins_us + last.to_us - last.from_us
        self.events = tuple(self._marks())
        self._begin(self._legs[0])

    def _marks(self) -> Iterator[Event]:
        """Play each leg once to its end; yield what happened in it, at its place on the scrubber."""
        allowance = None
        for leg in self._legs:
            self._begin(leg)
            if allowance is None:
                allowance = self.session.saw.clock.allowance
            else:  # one for all of them
                self.session.saw.clock.allowance = allowance
                allowance.spend(REBUILT)
            if leg is not self._legs[0]:
                self._play_to(leg.from_us, leg.stood)
            told = len(self.session.heard.events) if leg is not self._legs[0] else 0
            self._play_to(leg.to_us)
            for each in self.session.heard.events[told:]:
                yield replace(each, at_us=each.at_us + leg.begins_us - leg.from_us)

    def _begin(self, leg: _Leg) -> None:
        self.session = self._anew()
        self._leg = leg
        self._acts: list[Act] = []
        for each in self._legs[: self._legs.index(leg) + 1]:
            self._acts[each.stood :] = each.acts
        self._next = 0

    @property
    def now_us(self) -> int:
        """Where it is played to."""
        leg = self._leg
        return leg.begins_us + max(self.session.saw.clock.now_us - leg.from_us, 0)

    @property
    def over(self) -> bool:
        """Whether it is played to its end."""
        return self.now_us >= self.end_us or (self.session.over and self._leg is self._legs[-1])

    def seek(self, time_us: int) -> bool:
        """Go to a moment; return whether the session had to be begun anew."""
        time_us = min(max(time_us, 0), self.end_us)
        leg = next(each for each in reversed(self._legs) if each.begins_us <= time_us)
        anew = time_us < self.now_us or leg is not self._leg
        if anew:
            self._begin(leg)
        self._play_to(leg.from_us + time_us - leg.begins_us)
        return anew

    def _play_to(self, time_us: int, most: int | None = None) -> None:
        acts = self._acts if most is None else self._acts[:most]
        while self._next < len(acts) and acts[self._next].at_us <= time_us:
            act = acts[self._next]
            self._next += 1
            self._wait_until(act.at_us)
            if not self.session.over:
                play(self.session, act, wait=False)
        self._wait_until(time_us)

    def _wait_until(self, time_us: int) -> None:
        # A trial by hand takes its own time, and may have gone past the moment.
        if time_us > self.session.saw.clock.now_us:
            self.session.advance_us(time_us - self.session.saw.clock.now_us)


def player_of(session: Session) -> Player:
    """Return a player of a session that is over."""
    end_us = session.saw.clock.now_us
    return Player(lambda: twin_of(session), lived(session), end_us)


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
