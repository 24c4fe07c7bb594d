"""The clock: an integer number of microseconds and a heap of appointments.

Theory. Simulated time jumps from appointment to appointment; nothing ever polls. The heap holds
`(time, priority, id, appointment)`, and that tuple is the whole ordering rule: earlier first, then
lower priority number, then first made first. A cancelled appointment stays in the heap and is
passed over when it comes up, which is cheaper than searching for it.

Some appointments are with slow things: a tank that runs low, a relay that cools. They come about
like any other, but a clock that has no others is `still`: nobody need wait for something to move.

Whoever plays what somebody else wrote down gives the clock an allowance: a fault that comes and goes
ten times a second makes a month of it that nobody would wait for.

Never here: the wall clock (see `pacing`).
"""

from collections.abc import Callable
from heapq import heappop, heappush
from typing import Final

from sim.errors import EffortError
from sim.words.fields import number
from sim.words.message import plain, row

_TOO_MUCH: Final = row(
    "clock.too-much",
    "more than {most} things happen, which takes too long to work out",
    most=number(),
)
_LESS: Final = plain(
    "clock.too-much.to-do",
    "let less time pass, or have a fault that comes and goes come less often",
)


class Allowance:
    """So many appointments, on one clock or on several together."""

    __slots__ = ("_left", "_most")

    def __init__(self, most: int) -> None:
        self._most = self._left = most

    @property
    def left(self) -> int:
        """How many are left."""
        return self._left

    def spend(self, many: int = 1) -> None:
        """Take one, or many.

        Raises:
            EffortError: There are not so many left.
        """
        self._left -= many
        if self._left < 0:
            raise EffortError(_TOO_MUCH(most=self._most), what_to_do=_LESS)


class Appointment:
    """A call that the clock will make at its time, unless it is cancelled."""

    __slots__ = ("action", "slow", "time_us")

    def __init__(self, time_us: int, action: Callable[[], None], slow: bool) -> None:
        self.time_us = time_us
        self.action: Callable[[], None] | None = action
        self.slow = slow

    @property
    def live(self) -> bool:
        """Whether the call is still to come."""
        return self.action is not None

    def cancel(self) -> None:
        """Take the call back; harmless when it was made or cancelled already."""
        self.action = None


class Clock:
    """Simulated time. It only moves forward, and only by `step`, `rest_until` and `run_until`.

    Attributes:
        now_us: Whole microseconds since the run began. To be read only; a plain attribute, because
            everything asks for it all the time.
        allowance: What its appointments are taken from; None where there may be any number.
    """

    def __init__(self) -> None:
        self.now_us = 0
        self._heap: list[tuple[int, int, int, Appointment]] = []
        self._made = 0
        self.allowance: Allowance | None = None

    @property
    def still(self) -> bool:
        """Whether nothing is due but slow things."""
        return all(entry[3].action is None or entry[3].slow for entry in self._heap)

    def at(
        self, time_us: int, action: Callable[[], None], priority: int = 0, *, slow: bool = False
    ) -> Appointment:
        """Return a new appointment to call `action` at `time_us`.

        Raises:
            ValueError: The time lies in the past.
            EffortError: The allowance is used up.
        """
        if self.allowance is not None:
            self.allowance.spend()
        if time_us < self.now_us:
            raise ValueError(f"{time_us} us lies before now, {self.now_us} us")
        appointment = Appointment(time_us, action, slow)
        self._made += 1
        heappush(self._heap, (time_us, priority, self._made, appointment))
        return appointment

    def after(
        self, delay_us: int, action: Callable[[], None], priority: int = 0, *, slow: bool = False
    ) -> Appointment:
        """Return a new appointment to call `action` when `delay_us` have passed."""
        return self.at(self.now_us + delay_us, action, priority, slow=slow)

    def next_us(self) -> int | None:
        """Return the time of the next live appointment, or None when there is none."""
        heap = self._heap
        while heap and heap[0][3].action is None:
            heappop(heap)
        return heap[0][0] if heap else None

    def step(self) -> bool:
        """Go to the next live appointment and make its call; False when there is none."""
        heap = self._heap
        while heap:
            time_us, _, _, appointment = heappop(heap)
            action = appointment.action
            if action is not None:
                self.now_us = time_us
                appointment.action = None
                action()
                return True
        return False

    def rest_until(self, time_us: int) -> None:
        """Move the clock to `time_us` when nothing is due before it.

        Raises:
            ValueError: An appointment is due earlier, or the time lies in the past.
        """
        due_us = self.next_us()
        if time_us < self.now_us or (due_us is not None and due_us < time_us):
            raise ValueError(f"cannot rest until {time_us} us")
        self.now_us = time_us

    def run_until(self, time_us: int) -> None:
        """Make every call due up to and including `time_us`, then stand at `time_us`."""
        while (due_us := self.next_us()) is not None and due_us <= time_us:
            self.step()
        self.rest_until(time_us)
