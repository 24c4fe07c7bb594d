"""How a session goes on: before each act all that is due happens; then time passes; followers look.

Never here: what an act does (see `session` and `instructor`).
"""

from collections.abc import Callable
from typing import Protocol

from sim.errors import CommandError
from sim.records.acts import Act
from sim.saw import Saw
from sim.session.kept import told
from sim.session.kept.deeds import Answer, Deed, Deeds
from sim.units import US
from sim.words.message import NOTHING, Message


class Follower(Protocol):
    """Somebody who looks at a session after every act, and after every moment that changed something."""

    def update(self) -> None:
        """Look at how things stand now."""


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
        self._followers: list[Follower] = []

    @property
    def now_us(self) -> int:
        """Simulated time since the session began, us."""
        return self._saw.clock.now_us

    @property
    def over(self) -> bool:
        """Whether nothing more can be done: the run was wrecked or closed."""
        return self.closed or self._saw.plant.site.wrecked

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
            raise CommandError(told.OVER, what_to_do=told.CLOSE_IT)

    def stands(self) -> bool:
        """Make happen what is due, as `ready` does; return whether the instructor has frozen the machine.

        Raises:
            CommandError: The run is over.
        """
        self.ready()
        return self.frozen

    def pass_s(self, seconds: float) -> None:
        """Let the time pass that an act takes."""
        self.pass_us(round(seconds * US))

    def pass_us(self, microseconds: int) -> None:
        """Let simulated time pass; at a frozen machine none does."""
        if not self.frozen:
            self._saw.advance_to(self.now_us + microseconds)

    def pass_until(self, reached: Callable[[], bool], limit_us: int) -> bool:
        """Let time pass until `reached` is true, `limit_us` at most; return whether it is true."""
        if self.over or self.frozen:
            return reached()
        return self._saw.advance_until(reached, self.now_us + limit_us)

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
    ) -> Answer:
        """Keep what came of an act, and return it as an answer."""
        answer = Answer(taken, said)
        self.did(Deed(act, self.now_us, answer=answer, unsafe=unsafe, played=played))
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
