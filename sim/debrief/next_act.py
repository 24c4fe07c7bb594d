"""The next act towards the end of a lesson's step, looked for beside the session while it goes on.

A copy does what the session does, so that it need not be played from its beginning whenever anything has
happened; there the pilot is asked what it would do first, and does not do it. Whether the whole way leads to
the end of the step is not tried here: that is `step_way`, which a hint stands on.

Never here: where an act is done, and how it is shown.
"""

from collections.abc import Callable
from typing import NoReturn

from sim.errors import CommandError
from sim.pilot.lesson_pilot import play_lesson
from sim.plant.set_points import Setting
from sim.records.acts import Act, Adjusted, BarLoaded, Inspected, LockoutTaken, Pressed, Released
from sim.session.kept.deeds import Answer
from sim.session.lessons.lesson import lesson_of
from sim.session.session import Session
from sim.teaching.way_out import Alongside
from sim.trade.handling import CRANE


class NextAct:
    """Looks for the next act of a lesson's step.

    Args:
        session: That of the lesson; nothing is changed in it.
    """

    def __init__(self, session: Session) -> None:
        self._beside = Alongside(session)

    def look(self, enough: Callable[[], bool] = lambda: False) -> bool:
        """Bring the copy to where the session stands, or as near as there is time; return whether it is there."""
        if not self._beside.stands_there:
            self._beside.catch_up(enough)
        return self._beside.stands_there

    def act(self) -> Act | None:
        """Return what is done next from where the copy stands; None where it is waited for, or nothing is to do."""
        copy = self._beside.copy
        lesson = lesson_of(copy)
        if lesson is None or lesson.done or copy.over or copy.frozen:
            return None
        asked = object.__new__(_Asked)
        asked.__dict__ = copy.__dict__
        try:
            play_lesson(asked, lesson, lesson.number + 1)
        except _Would as first:
            return first.act
        except CommandError:
            return None
        return None


class _Would(Exception):  # noqa: N818 - an answer, and no mistake
    """What the pilot would do; None for waiting."""

    def __init__(self, act: Act | None) -> None:
        self.act = act


class _Asked(Session):
    """A session whose pilot is only asked: it tells the first thing that it would do, and nothing is done."""

    def _now(self) -> int:
        return self.saw.clock.now_us

    def press(self, *keys: str) -> NoReturn:
        raise _Would(Pressed(self._now(), keys))

    def release(self, *keys: str) -> NoReturn:
        raise _Would(Released(self._now(), keys))

    def set(self, name: str, setting: Setting, *, wait: bool = True) -> Answer:
        raise _Would(Adjusted(self._now(), name, setting))

    def inspect(self, name: str, expect: str = "", *, wait: bool = True) -> Answer:
        raise _Would(Inspected(self._now(), name, expect))

    def lock_out(self, step: str, *, wait: bool = True) -> Answer:
        raise _Would(LockoutTaken(self._now(), step))

    def load_bar(self, how: str = CRANE, *, wait: bool = True) -> Answer:
        raise _Would(BarLoaded(self._now(), how))

    def advance(self, seconds: float) -> None:
        if seconds > 0.0:
            raise _Would(None)

    def advance_us(self, microseconds: int) -> None:
        if microseconds > 0:
            raise _Would(None)

    def advance_until(self, reached: Callable[[], bool], limit_us: int) -> bool:
        if not reached():
            raise _Would(None)
        return True
