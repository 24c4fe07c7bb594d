"""An axis: one thing that moves, the segment it is in, and the marks it passes.

A mark splits the axis in two, and the axis remembers on which side of every mark it is. Passing
one is an appointment on the clock, so a limit switch makes at its microsecond whatever the window
draws.

A mark may include its own place, as a switch at the upper end of a travel does. The axis has passed
it upwards as soon as it stands on it, and downwards only when it has left it. With a mark that does
not include its place, as a switch at the lower end, it is the other way round. An axis that starts
from a mark and stops before it has moved has passed nothing.
"""

from bisect import bisect_left, insort
from collections.abc import Callable
from dataclasses import dataclass
from operator import attrgetter
from typing import Final

from sim.kernel.clock import Appointment, Clock
from sim.kernel.motion import Law, Rest

_US_PER_S = 1e6
_SAME_PLACE = 1e-9  # below any distance that matters here; absorbs rounding at a mark
_NEVER = 1 << 62  # us


@dataclass(slots=True, eq=False)  # a mark is itself
class _Mark:
    position: float
    includes: bool  # standing on it is enough to have passed it upwards; else downwards
    beyond: bool
    passed: Callable[[bool], None]
    segment: int = 0  # that for which `due_us` was found out; 0 for none
    due_us: int = _NEVER  # when that segment passes it, of one that lies ahead


_BY_DUE: Final = attrgetter("due_us")


class Axis:
    """A position that changes by segments, never by ticks."""

    def __init__(self, clock: Clock, position: float, *, slow: bool = False) -> None:
        self._clock = clock
        self._slow = slow  # its appointments are with a slow thing, see `clock`
        self._law: Law = Rest(position)  # not asked while it stands
        self._direction = 0  # of the law, asked for once a segment
        self._stands = position  # where, if it has no direction
        self._segment = 1
        self._began_us = clock.now_us
        self._marks: dict[str, _Mark] = {}
        self._ahead: list[_Mark] = []  # those that the segment will pass, the soonest first
        self._due: Appointment | None = None  # with the first of them
        self._marked = 0  # how often any mark was set, moved or taken away

    @property
    def position(self) -> float:
        """Where the axis is now."""
        if not self._direction:
            return self._stands
        return self._law.at((self._clock.now_us - self._began_us) / _US_PER_S)

    @property
    def rate(self) -> float:
        """How fast it moves now, per second, with its sign."""
        if not self._direction:
            return 0.0
        return self._law.rate((self._clock.now_us - self._began_us) / _US_PER_S)

    @property
    def moving(self) -> bool:
        """Whether it is under way."""
        if not self._direction:
            return False
        return self._law.rate((self._clock.now_us - self._began_us) / _US_PER_S) != 0.0

    @property
    def direction(self) -> int:
        """Which way its segment leads, +1 or -1, also where it has come to its end; 0 where it stands."""
        return self._direction

    @property
    def end(self) -> float:
        """Where its segment comes to rest."""
        return self._law.end if self._direction else self._stands

    def beyond(self, name: str) -> bool:
        """Return on which side of the mark the axis is."""
        return self._marks[name].beyond

    def has(self, name: str) -> bool:
        """Return whether there is such a mark."""
        return name in self._marks

    def mark(
        self,
        name: str,
        position: float,
        passed: Callable[[bool], None],
        *,
        includes: bool = True,
    ) -> None:
        """Set or move a mark; `passed(beyond)` is called when the axis changes sides.

        Moving a mark under a standing axis may change its side too, and then calls at once.
        """
        here = self.position
        beyond = here >= position if includes else here > position
        old = self._marks.get(name)
        again = old is not None and old.position == position and old.includes == includes
        if old is not None and again and abs(here - position) <= _SAME_PLACE:
            beyond = old.beyond  # set again where it was, it must not feel rounding
        self._marks[name] = mark = _Mark(position, includes, beyond, passed)
        self._marked += 1
        replan = old is not None and self._due is not None  # it may have been with the old one
        if old is not None and old.beyond is not beyond:
            passed(beyond)
            replan = True
        if not self._direction:
            return
        if replan:
            self._plan()
        else:
            self._heed(mark)

    def unmark(self, *names: str) -> None:
        """Remove marks; harmless when there are none."""
        for name in names:
            mark = self._marks.pop(name, None)
            if mark is not None:
                self._marked += 1
                if self._due is not None and mark in self._ahead:
                    self._ahead.remove(mark)
                    self._meet()

    def set_ahead(self, name: str, position: float) -> None:
        """Have a mark that is just being passed lie ahead once more; to be called by its `passed` only.

        The next mark is looked for when all that are reached have been passed.
        """
        mark = self._marks[name]
        mark.position, mark.beyond, mark.segment = position, not mark.beyond, 0
        self._marked += 1

    def shift_behind(self, name: str, position: float) -> None:
        """Have a mark that was just passed lie elsewhere behind the axis, as where a switch lets go again."""
        mark = self._marks[name]
        mark.position, mark.segment = position, 0

    def follow(self, law: Law) -> None:
        """Begin a new segment now."""
        self._law = law
        self._direction = law.direction
        if not self._direction:
            self._stands = law.at(0.0)
        self._segment += 1
        self._began_us = self._clock.now_us
        self._plan()

    def stop(self) -> None:
        """Stand still where it is."""
        self._stand(self.position)

    def _stand(self, position: float) -> None:
        """Begin a segment that stands and so passes nothing."""
        self._stands, self._direction = position, 0
        self._segment += 1
        self._ahead = []
        self._meet()

    def put(self, position: float) -> None:
        """Be somewhere else at once, at rest; marks whose side has changed call."""
        self._stand(position)
        for mark in list(self._marks.values()):
            beyond = position >= mark.position if mark.includes else position > mark.position
            if beyond is not mark.beyond:
                mark.beyond = beyond
                mark.passed(beyond)

    def _plan(self) -> None:
        """Find out which marks this segment passes and when; when that is holds to its end."""
        rising, segment = self._direction > 0, self._segment
        ahead = []
        if self._direction:
            for mark in self._marks.values():
                if mark.beyond is not rising:
                    if mark.segment != segment:
                        mark.segment, mark.due_us = segment, self._due_us(mark, rising)
                    if mark.due_us != _NEVER:
                        ahead.append(mark)
            if len(ahead) > 1:
                ahead.sort(key=_BY_DUE)
        self._ahead = ahead
        self._meet()

    def _heed(self, mark: _Mark) -> None:
        """Take up a new mark among those that this segment passes, if it does."""
        rising = self._direction > 0
        if mark.beyond is rising:
            return
        mark.segment, mark.due_us = self._segment, self._due_us(mark, rising)
        if mark.due_us != _NEVER:
            insort(self._ahead, mark, key=_BY_DUE)
            if self._ahead[0] is mark:
                self._meet()

    def _meet(self) -> None:
        """Have the appointment be with the first of the marks ahead."""
        ahead, due = self._ahead, self._due
        if due is not None:
            due.cancel()
        self._due = (
            self._clock.at(ahead[0].due_us, self._arrive, slow=self._slow) if ahead else None
        )

    def _due_us(self, mark: _Mark, rising: bool) -> int:
        """Return the first microsecond at which the axis has passed the mark; `_NEVER` if it never does."""
        law, began_us, now_us = self._law, self._began_us, self._clock.now_us
        past = (mark.position - law.end) * self._direction
        arrives = mark.includes is rising  # it is passed by standing on it
        if past > _SAME_PLACE if arrives else past >= 0.0:
            return _NEVER
        when_s = law.time_to(law.end if past > 0.0 else mark.position)
        if when_s is None:
            return now_us  # it lies behind the start
        if arrives:
            # Rounded up, so that the axis is at the mark or past it when the call comes.
            due_us = began_us - int(-when_s * _US_PER_S // 1)
            return due_us if due_us > now_us else now_us
        from_us = began_us + int(when_s * _US_PER_S) + 1
        if from_us < now_us:
            from_us = now_us
        if self._is_beyond(mark, (from_us - began_us) / _US_PER_S):
            return from_us
        return self._first_beyond_us(mark, from_us)

    def _first_beyond_us(self, mark: _Mark, before_us: int) -> int:
        """Return the first microsecond, after one at which it is not, at which the mark is left behind."""

        def left_at(time_us: int) -> bool:
            return self._is_beyond(mark, (time_us - self._began_us) / _US_PER_S)

        step_us = 1  # it stands a while, or is too slow for a microsecond
        while not left_at(before_us + step_us):
            before_us, step_us = before_us + step_us, step_us * 2
        return (
            before_us
            + 1
            + bisect_left(range(before_us + 1, before_us + step_us), True, key=left_at)
        )

    def _is_beyond(self, mark: _Mark, elapsed_s: float) -> bool:
        """Whether it will have left the mark behind so many seconds after the segment began."""
        return (self._law.at(elapsed_s) - mark.position) * self._direction > 0

    def _arrive(self) -> None:
        rising, segment, marked = self._direction > 0, self._segment, self._marked
        ahead, now_us, many = self._ahead, self._clock.now_us, 1
        self._due = None
        while many < len(ahead) and ahead[many].due_us <= now_us:
            many += 1
        reached = ahead[:many]
        del ahead[:many]
        for mark in reached:
            mark.beyond = rising
        for mark in reached:
            mark.passed(rising)
        if self._segment != segment:
            return  # which has made its own appointment
        if self._marked != marked:
            self._plan()
        elif ahead:
            self._meet()
