"""The way out of a refusal, for a session: found over the tables, done on a copy of its saw.

The copy is made by playing the session's own acts again. In a drill the way is
found but not tried, because what the copy does would tell what is wrong with it. In an assessment no
way is told, and none to somebody whose lock is on the isolator.
"""

from collections.abc import Callable
from typing import Final

from sim.control.actions import BY_NAME
from sim.control.needs import HEAD_UP
from sim.control.table import JOB_UNDER_WAY
from sim.logic.bench.freeing import free, search
from sim.logic.bench.helpful import acts_on_nothing
from sim.logic.bench.way import Way
from sim.plant.padlocks import DEVICES
from sim.saw import Saw
from sim.session.opening import twin_of
from sim.session.playback.replay import play
from sim.session.session import Session
from sim.session.sights.controller_words import console_lit
from sim.teaching.hands_on_way import with_care
from sim.teaching.out_of_reach import jaw_out_of_reach, way_on
from sim.teaching.slips.keys import KEY_SLIPS
from sim.units import US
from sim.words.fields import part
from sim.words.message import NOTHING, Message, plain, row, sentences

_ON_THE_BAR: Final = ("band.run", "head.lower")  # what would do harm where the band lies on the bar
_HEAD_UP_FIRST: Final = ("band.run", "shuttle.back", "shuttle.forward")
_BEGIN: Final = ("job.start", "job.unhold")
_TO_POWER: Final = "supply.control_on"
_PROVED_IN: Final = ("practice", "lesson")
NOT_TRIED: Final = plain("way.not-tried", "in a drill it is not tried for you")
_HARMFUL: Final = row(
    "way.harmful", "No way is told, because the shortest does harm: {harm}.", harm=part()
)
_NOT_FOUND: Final = plain(
    "way.not-found",
    "No way by keys and settings was found from here: do first what is asked above.",
)
_TAKE_BACK: Final = plain(
    "way.locked",
    "No way is told: your padlock hangs on the saw. When your work is done, take the lock-out back, "
    "step by step.",
)
_ANOTHERS: Final = plain(
    "way.locked-by-another",
    "No way is told: somebody else's padlock hangs on the saw. It comes off by whoever put it on; ask.",
)
_BREAKS_OFF: Final = plain(
    "way.breaks-off",
    "Beware: this way breaks off the job. A piece that is begun is scrap, and the end must be squared before the "
    "next.",
)
_TO_BEGIN: Final = plain("way.no-job.begin", "To begin one, ask what blocks job.start.")
_NO_JOB: Final = {
    "job.hold": sentences(plain("way.no-job.hold", "No job runs."), _TO_BEGIN),
    "job.complete": sentences(plain("way.no-job.complete", "No job runs."), _TO_BEGIN),
    "job.unhold": sentences(plain("way.no-job.unhold", "No job is held."), _TO_BEGIN),
    "job.clear": plain("way.no-job.clear", "No job is aborted, so there is nothing to clear."),
    "job.stop": plain("way.no-job.stop", "No job is under way, so there is nothing to stop."),
}


def fresh_session(session: Session) -> Session:
    """Return another session that stands exactly where this one does, its lesson too."""
    beside = Alongside(session)
    beside.catch_up()
    return beside.copy


class Alongside:
    """A copy of a session that does what was done there whenever it is told to, and keeps no record.

    Args:
        session: Whose copy it is; nothing is changed in it.
    """

    def __init__(self, session: Session) -> None:
        self.session = session
        self.copy = twin_of(session)
        self._played = self._turned = 0

    @property
    def stands_there(self) -> bool:
        """Whether it stands where the session does."""
        done = len(self.session.done.acts), len(self.session.turns)
        there_us = self.session.saw.clock.now_us
        return (self._played, self._turned) == done and self._now_us == there_us

    @property
    def _now_us(self) -> int:
        return self.copy.saw.clock.now_us

    def catch_up(self, enough: Callable[[], bool] = lambda: False) -> None:
        """Do what was done since, and let the time pass that has passed.

        Args:
            enough: Whether to leave the rest for the next time; asked once a simulated second, and after every act.
        """
        acts = self.session.done.acts
        while self._played < len(acts):
            while self._turns_next():
                self._turn()
            act = acts[self._played]
            if not self._pass(act.at_us, enough):
                return
            play(self.copy, act, wait=False)
            self._played += 1
            if enough():
                return
        while self._turned < len(self.session.turns):
            self._turn()
        self._pass(self.session.saw.clock.now_us, enough)

    def _pass(self, until_us: int, enough: Callable[[], bool]) -> bool:
        """Let time pass; return whether it is so late now."""
        while self._now_us < until_us:
            before_us = self._now_us
            self.copy.advance_us(min(until_us - before_us, US))
            if self._now_us == before_us:  # no time passes there any more
                break
            if enough():
                return self._now_us >= until_us
        return True

    def _turns_next(self) -> bool:
        turns = self.session.turns
        return self._turned < len(turns) and turns[self._turned].after <= self._played

    def _turn(self) -> None:
        turn = self.session.turns[self._turned]
        self.copy.advance_us(turn.at_us - self._now_us)
        self.copy.take_order(turn.scenario, turn.stock, turn.called)
        self._turned += 1


def fresh_saw(session: Session) -> Saw:
    """Return another saw that stands exactly where the session's does."""
    return fresh_session(session).saw


def way_out(session: Session, action: str) -> Way | None:
    """Return the shortest way to an action; None when there is none, or none may be told."""
    mode = session.scenario.mode
    if action not in BY_NAME or session.over or session.frozen or mode == "assessment":
        return None
    if any(
        map(session.saw.plant.padlocks.on, DEVICES)
    ):  # nobody is told to put on what a lock keeps off
        return None
    if mode in _PROVED_IN:
        vise = jaw_out_of_reach(session) if action in _BEGIN else ""
        found = way_on(session, vise, lambda: fresh_saw(session), _slip) if vise else None
        found = found or free(lambda: fresh_saw(session), action, _slip)
        return None if found is None else with_care(session, found, lambda: fresh_session(session))
    if not console_lit(session):  # what else stands against it is not known yet
        action = _TO_POWER
    first = (HEAD_UP,) if action in _ON_THE_BAR else ()  # nothing tells where the bar lies
    steps = search(session.saw, action, *first)
    return None if steps is None else with_care(session, Way(steps, False, NOT_TRIED), None)


def _slip(saw: Saw, key: str) -> Message:
    """Return the slip of a key of a way that has just been pressed, where raising the head avoids it."""
    return KEY_SLIPS[key](saw) if key in _HEAD_UP_FIRST else NOTHING


def breaks_off(session: Session, way: Way) -> tuple[Message, ...]:
    """Return that a way breaks off the job that is under way; nothing where it does not."""
    state = session.saw.controller.image["job"]
    acts = [step.act for step in way.steps]
    stopped = any("job.stop" in act.names for act in acts) and state in (*JOB_UNDER_WAY, "HELD")
    turned = any(act.verb == "turn" for act in acts) and state in JOB_UNDER_WAY
    return (_BREAKS_OFF,) if stopped or turned else ()


def why_none(session: Session, action: str, way: Way | None) -> Message:
    """Return why no way is told: a lock, nothing to act on, harm that it does, or none was found."""
    if session.lockout.locked:
        return _TAKE_BACK
    if any(map(session.saw.plant.padlocks.on, DEVICES)):
        return _ANOTHERS
    if way is not None and way.harm:
        return _HARMFUL(harm=way.harm)
    if acts_on_nothing(action, session.saw.controller.image):
        return _NO_JOB[action]
    return _NOT_FOUND
