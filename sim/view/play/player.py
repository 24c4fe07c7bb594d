"""Plays a session again in the window: forward with the clock, or straight to any moment of it.

A run is the same each time it is played, and playing is thousands of times faster than life, so
going back means beginning anew and playing up to the moment. A record that was cut is played as far
as it goes.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import sim
from sim.errors import RecordError
from sim.records.acts import Act
from sim.records.chain import read_chain
from sim.session.opening import open_session
from sim.session.replay import acts_of, play, scenario_of
from sim.session.session import Session


class Player:
    """One session, and where it is played to.

    Args:
        scenario: Name or path of the scenario.
        acts: What was done, in order, each with its time.
        end_us: When it ended.
        nonce: What sealed its names.

    Raises:
        ScenarioError: The scenario is gone.
    """

    def __init__(self, scenario: str, acts: Sequence[Act], end_us: int, nonce: str) -> None:
        self._scenario = scenario
        self._acts = acts
        self._nonce = nonce
        self.end_us = max([end_us, *(act.at_us for act in self._acts)])
        self._begin()
        self.seek(self.end_us)  # once to the end, for the marks of the scrubber
        self.events = tuple(self.session.heard.events)
        self._begin()

    def _begin(self) -> None:
        self.session: Session = open_session(self._scenario, nonce=self._nonce)
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
                play(self.session, act)
        self._wait_until(time_us)
        return anew

    def _wait_until(self, time_us: int) -> None:
        # An inspection takes its own time, and may have gone past the moment.
        if time_us > self.now_us:
            self.session.advance_us(time_us - self.now_us)


def player_of(session: Session) -> Player:
    """Return a player of a session that is over."""
    end_us, nonce = session.saw.clock.now_us, session.journal.nonce
    return Player(session.source["path"], session.done.acts, end_us, nonce)


def player_from(path: Path) -> Player:
    """Return a player of a record.

    Raises:
        RecordError: The file is no record, was changed, is of another version of the program, or
            of a scenario that has changed since.
        ScenarioError: Its scenario is gone.
    """
    lines = read_chain(path, allow_cut=True)
    opening = next((line for line in lines if line.get("act") == "open"), None)
    if opening is None:
        raise RecordError("this is not the record of a session", str(path), "name another")
    if opening["engine"] != sim.__version__:
        raise RecordError(
            f"the record was made by version {opening['engine']}", str(path),
            f"play it with that version; this is {sim.__version__}",
        )  # fmt: skip
    last = lines[-1].get("last")
    closing: Mapping[str, Any] = last if isinstance(last, dict) else {}
    acts = [act for _, act in acts_of(lines, str(path))]
    player = Player(
        scenario_of(opening, path),
        acts,
        int(closing.get("at_us", 0)),
        str(closing.get("nonce", "")),
    )
    if player.session.source.get("scenario_sha256") != opening["scenario_sha256"]:
        raise RecordError(
            f"the scenario {opening['scenario']} has changed since the record was made", str(path),
            "play it beside the scenario file of that time",
        )  # fmt: skip
    return player
