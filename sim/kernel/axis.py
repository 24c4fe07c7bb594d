"""An axis: one thing that moves, the segment it is in, and the marks it passes.

A mark splits the axis in two, and the axis remembers on which side of every mark it is. Passing
one is an appointment on the clock, so a limit switch makes at its microsecond whatever the window
draws.

A mark may include its own place, as a switch at the upper end of a travel does. The axis has passed
it upwards as soon as it stands on it, and downwards only when it has left it. With a mark that does
not include its place, as a switch at the lower end, it is the other way round. An axis that starts
from a mark and stops before it has moved has passed nothing.
"""

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass

from sim.kernel.clock import Appointment, Clock
from sim.kernel.motion import Law, Rest

_US_PER_S = 1e6
_SAME_PLACE = 1e-9  # below any distance that matters here; absorbs rounding at a mark
_NEVER = 1 << 62  # us


@dataclass(slots=True)
class _Mark:
    position: float
    includes: bool  # standing on it is enough to have passed it upwards; else downwards
    beyond: bool
    passed: Callable[[bool], None]
    segment: int = 0  # that for which `due_us` was found out; 0 for none
    due_us: int = _NEVER  # when that segment passes it, of one that lies ahead


class Axis:
    """A position that changes by segments, never by ticks."""

    def __init__(self, clock: Clock, position: float, *, slow: bool = False) -> None:
        self._clock = clock
        self._slow = slow  # its appointments are with a slow thing, see `clock`
        self._law: Law = Rest(position)
        self._direction = 0  # of the law, asked for once a segment
        self._stands = position  # where, if it has no direction
        self._segment = 1
        self._began_us = clock.now_us
        self._marks: dict[str, _Mark] = {}
        self._due: Appointment | None = None
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
        return self._law.rate((self._clock.now_us - self._began_us) / _US_PER_S)

    @property
    def moving(self) -> bool:
        """Whether it is under way."""
        if not self._direction:
            return False
        return self._law.rate((self._clock.now_us - self._began_us) / _US_PER_S) != 0.0

    @property
    def law(self) -> Law:
        """The law of the present segment."""
        return self._law

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
        marks, gone = self._marks, False
        for name in names:
            if name in marks:
                del marks[name]
                gone = True
        if gone:
            self._marked += 1
            if self._due is not None:
                self._plan()

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
        self.follow(Rest(self.position))

    def put(self, position: float) -> None:
        """Be somewhere else at once, at rest; marks whose side has changed call."""
        self.follow(Rest(position))
        for mark in list(self._marks.values()):
            beyond = position >= mark.position if mark.includes else position > mark.position
            if beyond is not mark.beyond:
                mark.beyond = beyond
                mark.passed(beyond)

    def _plan(self) -> None:
        """Make the appointment for the next mark that this segment passes; when it does, holds to its end."""
        if self._due is not None:
            self._due.cancel()
            self._due = None
        if self._direction == 0:
            return
        rising, segment = self._direction > 0, self._segment
        soonest_us = _NEVER
        for mark in self._marks.values():
            if mark.beyond is not rising:
                if mark.segment != segment:
                    mark.segment, mark.due_us = segment, self._due_us(mark, rising)
                if mark.due_us < soonest_us:
                    soonest_us = mark.due_us
        if soonest_us != _NEVER:
            self._due = self._clock.at(soonest_us, self._arrive, slow=self._slow)

    def _heed(self, mark: _Mark) -> None:
        """Have the appointment be with a new mark, if this segment passes that first."""
        due, rising = self._due, self._direction > 0
        if mark.beyond is rising:
            return
        mark.segment, mark.due_us = self._segment, self._due_us(mark, rising)
        if due is not None and due.time_us <= mark.due_us:
            return
        if due is not None:
            due.cancel()
        if mark.due_us != _NEVER:
            self._due = self._clock.at(mark.due_us, self._arrive, slow=self._slow)

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
        law, rising, now_us = self._law, self._direction > 0, self._clock.now_us
        reached, soonest_us = [], _NEVER
        for mark in self._marks.values():
            if mark.beyond is not rising:
                if mark.due_us <= now_us:
                    mark.beyond = rising
                    reached.append(mark)
                elif mark.due_us < soonest_us:
                    soonest_us = mark.due_us
        self._due = None
        marked = self._marked
        for mark in reached:
            mark.passed(rising)
        if self._law is not law:
            return  # which has made its own appointment
        if self._marked != marked:
            self._plan()
        elif soonest_us != _NEVER:
            self._due = self._clock.at(soonest_us, self._arrive, slow=self._slow)
