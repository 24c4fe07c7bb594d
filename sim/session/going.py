"""How a session goes on: before each act all that is due happens; then time passes; followers look.

Never here: what an act does (see `session` and `instructor`).
"""

from collections.abc import Callable
from typing import Protocol

from sim.errors import CommandError
from sim.records.acts import Act
from sim.records.kinds import LONGEST_US
from sim.saw import Saw
from sim.session.kept import told
from sim.session.kept.deeds import Answer, Deed, Deeds
from sim.units import US
from sim.words.message import NOTHING, Message


class Follower(Protocol):
    """Somebody who looks at a session after every act, and after every moment that changed something."""

    def update(self) -> None:
        """Look at how things stand now."""


class Busy(Protocol):
    """What a trainee is busy with: hands that are somewhere until it is over."""

    in_us: int  # when the hands go in
    out_us: int  # when it is over
    broken: bool  # it was broken off
    what: Message

    @property
    def over(self) -> bool:
        """Whether nothing more of it is to come."""

    @property
    def next_us(self) -> int:
        """The next instant of its own, us."""

    def look(self) -> bool:
        """Take note of how things stand now; return whether it stops there."""

    def ordered(self) -> None:
        """Take note that an instructor has just changed the saw."""

    def break_off(self) -> None:
        """Take the hands out."""

    def leave(self) -> None:
        """Have the hands out, and the act neither done nor undone."""

    def finish(self) -> None:
        """Have the hands out, and the act done."""


class Going:
    """One session under way.

    Args:
        saw: The machine.
        done: The list of what was done.
    """

    def __init__(self, saw: Saw, done: Deeds) -> None:
        self.closed = False
        self.frozen = False  # by the instructor: time and hands
        self._saw = saw
        self._done = done
        self.goes_back: Callable[[], bool] = lambda: (
            False
        )  # whether what came to harm can be taken back
        self.doing: Busy | None = None  # what the trainee is busy with
        self._followers: list[Follower] = []

    @property
    def now_us(self) -> int:
        """Simulated time since the session began, us."""
        return self._saw.clock.now_us

    @property
    def over(self) -> bool:
        """Whether nothing more can be done: the run was wrecked or closed, or has lasted too long.

        No session lasts longer than a record can tell.
        """
        return self.closed or self._saw.plant.site.wrecked or self.now_us >= LONGEST_US

    def ready(self, *, going: bool = True) -> None:
        """Make everything happen that is due at this instant, before an act is done.

        It is done before an act and never after one, so a front end that advances by no time
        between two acts changes nothing.

        Args:
            going: Whether the act needs a run that is not over, as most do.

        Raises:
            CommandError: The session is closed, or the run is over and the act needs it going.
        """
        if self.closed:
            raise CommandError(told.OVER, what_to_do=told.READ_DEBRIEF)
        if not self.frozen:
            self._saw.advance_to(self.now_us)
        if going and self.over:
            raise CommandError(
                told.OVER, what_to_do=told.GO_BACK if self.goes_back() else told.CLOSE_IT
            )

    def stands(self) -> bool:
        """Make happen what is due, as `ready` does; return whether the instructor has frozen the machine.

        What the trainee is still busy with is done first, for a person has one place.

        Raises:
            CommandError: The run is over.
        """
        self.ready()
        if not self.frozen and self.doing is not None:
            self.finish_doing()
            self.ready()
        return self.frozen

    def pass_s(self, seconds: float) -> None:
        """Let the time pass that an act takes."""
        self.pass_us(round(seconds * US))

    def pass_us(self, microseconds: int) -> None:
        """Let simulated time pass; at a frozen machine none does."""
        if self.frozen:
            return
        until_us = min(self.now_us + microseconds, LONGEST_US)
        while (doing := self.doing) is not None:
            self._do(doing, until_us)
            if self.doing is doing and self.now_us >= until_us:
                return
        if until_us > self.now_us:
            self._saw.advance_to(until_us)

    def _do(self, doing: Busy, until_us: int) -> None:
        """Go on with what the trainee is busy with, to its next instant or as far as time passes."""
        if not self._busy_over(doing):
            self._saw.advance_watched(doing.look, min(doing.next_us, until_us))
            if self.now_us == doing.in_us:
                doing.look()
        self._settle(doing)

    def _settle(self, doing: Busy) -> None:
        """Have what is over be done."""
        if self._busy_over(doing):
            self.doing = None
            doing.finish()

    def _busy_over(self, doing: Busy) -> bool:
        return doing.over or self.over

    def finish_doing(self) -> None:
        """Let the time pass that what the trainee is busy with still takes."""
        while self.doing is not None and not self.frozen:
            self.pass_us(max(self.doing.out_us - self.now_us, 0))

    def leave(self) -> None:
        """Have what the trainee is busy with neither done nor undone; the session is over."""
        if self.doing is not None:
            self.doing.leave()
            self.doing = None

    def ordered(self) -> None:
        """Have what the trainee is busy with know that an instructor has just changed the saw."""
        if self.doing is not None:
            self.doing.ordered()
            self._settle(self.doing)

    def pass_until(self, reached: Callable[[], bool], limit_us: int) -> bool:
        """Let time pass until `reached` is true, `limit_us` at most; return whether it is true."""
        if self.over or self.frozen:
            return reached()
        end_us = min(self.now_us + limit_us, LONGEST_US)
        self.finish_doing()
        return self._saw.advance_until(reached, max(end_us, self.now_us))

    def begin(self, act: Act) -> None:
        """Write an act down, just before it is done."""
        self._done.begin(act)

    def did(self, deed: Deed) -> None:
        """Keep what came of an act, and have every follower look."""
        self._done.all.append(deed)
        self.look_round()

    def wrote(self, act: Act) -> None:
        """Write an act down that changes nothing on the machine, and keep it."""
        self._done.begin(act)
        self._done.all.append(Deed(act, act.at_us))

    def answered(
        self,
        act: Act,
        taken: bool,
        said: Message,
        *,
        unsafe: Message = NOTHING,
        played: bool = True,
        cured: tuple[str, ...] = (),
        undid: tuple[str, ...] = (),
    ) -> Answer:
        """Keep what came of an act, and return it as an answer."""
        answer = Answer(taken, said)
        self.did(
            Deed(
                act, self.now_us, answer=answer, unsafe=unsafe, played=played, cured=cured,
                undid=undid,
            )
        )  # fmt: skip
        return answer

    def follow(self, follower: Follower) -> None:
        """Have a follower look after every act, and after every moment at which anything happens."""
        self._followers.append(follower)
        self._saw.after_moment = self.look_round

    @property
    def followers(self) -> tuple[Follower, ...]:
        """The followers, in the order in which they came."""
        return tuple(self._followers)

    def look_round(self) -> None:
        """Have every follower look how things stand now."""
        for follower in self._followers:
            follower.update()
