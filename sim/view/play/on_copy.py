"""The second hint of a step: its next acts are done slowly on a copy of the session, and then it is as it was.

The session itself, its clock, its record and what it costs are not touched; its time stands meanwhile.

Never here: how ghost hands are drawn.
"""

from collections.abc import Callable, Sequence
from typing import Final
from weakref import WeakSet

from sim.debrief.step_way import StepWay
from sim.errors import CommandError
from sim.kernel.pacing import wall_s
from sim.records.acts import Act, Pressed, Released
from sim.session.playback.acting import play
from sim.session.session import Session
from sim.teaching.way_out import fresh_session
from sim.units import US
from sim.view.play.guide import Light, light_of
from sim.view.play.motion import stands

COMES_S: Final = 1.4  # on the wall, that hands take to where the act is done
_SHOWS_S: Final = 2.0  # that what comes of it is shown for at least
_MOST_S: Final = 4.0  # and at most: what takes longer is hurried
_MOST: Final = 4  # acts that are shown at once
_LONGEST_FRAME_S: Final = 0.1


_copies: Final[WeakSet[Session]] = WeakSet()


def is_copy(session: Session) -> bool:
    """Return whether a session is a copy on which something is shown: no hand there is real."""
    return session in _copies


class OnCopy:
    """What is being shown on a copy of a session, if anything is.

    Args:
        session: Whose copies are shown.
        changed: Called when another act is shown, and when nothing is any more.
        wall: The time on the wall, s.
    """

    def __init__(
        self, session: Session, changed: Callable[[], None], wall: Callable[[], float] = wall_s
    ) -> None:
        self._session, self._changed, self._wall = session, changed, wall
        self.copy: Session | None = None
        self.act: Act | None = None
        self._acts: list[Act] = []
        self._done = 0
        self._done_acts = False  # the act's own time runs now
        self._left_s = 0.0  # on the wall, of what is shown just now
        self._span_us = 0
        self._last_s = 0.0
        self._until_us = 0

    @property
    def running(self) -> bool:
        """Whether something is shown now."""
        return self.copy is not None

    def begin(self, way: StepWay) -> None:
        """Begin to show the first acts of a way from where the session stands; while hands are busy none is shown."""
        if self._session.under_way is not None or not way.acts:
            return
        self.copy = fresh_session(self._session)
        _copies.add(self.copy)
        self._acts = list(_shown(way.acts))
        follows = way.acts[len(self._acts)] if len(way.acts) > len(self._acts) else None
        self._until_us = follows.at_us if follows is not None else way.until_us
        self._done, self._last_s = 0, self._wall()
        self._come()

    def end(self) -> None:
        """Leave it at once."""
        if self.copy is not None:
            self.copy = self.act = None
            self._acts.clear()
            self._changed()

    def tick(self) -> None:
        """Go on by the time that has passed on the wall."""
        copy = self.copy
        if copy is None:
            return
        now_s = self._wall()
        passed_s = min(now_s - self._last_s, _LONGEST_FRAME_S)
        self._last_s = now_s
        if self._session.frozen or self._session.over or copy.over:
            self.end()
            return
        if self._done_acts and self._left_s > 0.0:
            share = min(passed_s / self._left_s, 1.0)
            step_us = round(self._span_us * share)
            self._span_us -= step_us
            copy.advance_us(step_us)
        self._left_s -= passed_s
        if self._left_s <= 0.0:
            self._next(copy)

    def _next(self, copy: Session) -> None:
        """Do the act whose hands have come, or go on to the next one."""
        if not self._done_acts:
            self._do(copy)
            return
        copy.advance_us(self._span_us)
        if self._done < len(self._acts):
            self._come()
        else:
            self.end()

    def _come(self) -> None:
        """Have hands go to where the next act is done."""
        self.act, self._done_acts = self._acts[self._done], False
        self._left_s = COMES_S
        self._changed()

    def _do(self, copy: Session) -> None:
        acts = self._acts
        try:
            play(copy, acts[self._done], wait=False)
        except CommandError:
            self.end()
            return
        self._done += 1
        self._done_acts = True
        until_us = acts[self._done].at_us if self._done < len(acts) else self._until_us
        self._span_us = max(until_us - copy.saw.clock.now_us, 0)
        self._left_s = min(max(self._span_us / US, _SHOWS_S), _MOST_S)
        if self._done < len(acts) and _lets_go(acts[self._done - 1], acts[self._done]):
            self._left_s = min(max(self._span_us / US, 0.4), _MOST_S)

    @property
    def share(self) -> float:
        """How far the hands have come to where the act is done, 0 to 1."""
        if self._done_acts or stands():
            return 1.0
        return min(max(1.0 - self._left_s / COMES_S, 0.0), 1.0)

    @property
    def light(self) -> Light | None:
        """What is lit meanwhile: where the act is done."""
        if self.copy is None or self.act is None:
            return None
        if isinstance(self.act, Pressed | Released):  # palm keys and all, while they are down too
            return Light(self.act, "console", tuple(f"key.{key}" for key in self.act.keys))
        return light_of(self.act, self.copy)


def _shown(acts: Sequence[Act]) -> Sequence[Act]:
    """Return as many acts as are shown at once; a key that is pressed is let go too."""
    count = shown = 0
    for number, act in enumerate(acts):
        if not (isinstance(act, Released) and number and _lets_go(acts[number - 1], act)):
            count += 1
        if count > _MOST:
            break
        shown = number + 1
    return acts[:shown]


def _lets_go(before: Act, act: Act) -> bool:
    """Return whether an act lets go what the one before it has pressed."""
    return (
        isinstance(before, Pressed) and isinstance(act, Released) and set(before.keys) == set(act.keys)
    )  # fmt: skip
