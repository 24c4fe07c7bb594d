"""The one reader of the wall clock: how much simulated time a frame is worth.

Physics never sees frame time. A stalled frame is capped, so that a window that was dragged does
not leap ahead.
"""

import time

from sim.units import US

LONGEST_FRAME_S = 0.25


class Pacer:
    """Turns wall-clock frames into whole microseconds of simulated time."""

    def __init__(self, speed: float = 1.0) -> None:
        self.speed = speed
        self._last_s = time.perf_counter()
        self._left_us = 0.0

    def frame_us(self) -> int:
        """Return the simulated time that has passed since the last call, in microseconds."""
        now_s = time.perf_counter()
        passed_s = min(now_s - self._last_s, LONGEST_FRAME_S)
        self._last_s = now_s
        return self.simulated_us(passed_s)

    def simulated_us(self, passed_s: float) -> int:
        """Return whole microseconds for a wall-clock interval; the remainder is carried over."""
        self._left_us += passed_s * self.speed * US
        whole_us = int(self._left_us)
        self._left_us -= whole_us
        return whole_us


def wait_s(seconds: float) -> None:
    """Let the wall clock run for so long; used by front ends, never by the simulation."""
    time.sleep(seconds)


def wall_s() -> float:
    """Return a monotonic wall-clock reading in s, for measuring how long work took."""
    return time.perf_counter()
