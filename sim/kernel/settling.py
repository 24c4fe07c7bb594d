"""A value that goes exponentially towards a target: heat, pressure, anything that leaks.

Theory. value(t) = target + (value0 - target) exp(-t / tau). Nothing is stored by tick: the value is
computed when asked for, and the time at which it passes a level has a closed form.
"""

from math import exp, log

from sim.kernel.clock import Clock

_US_PER_S = 1e6


class Settling:
    """One such value, from its last change on."""

    def __init__(self, clock: Clock, start: float, time_constant_s: float) -> None:
        self._clock = clock
        self._start = start
        self._since_us = clock.now_us
        self.target = start
        self.time_constant_s = time_constant_s

    @property
    def now(self) -> float:
        """The value at this moment."""
        elapsed_s = (self._clock.now_us - self._since_us) / _US_PER_S
        left = exp(-elapsed_s / self.time_constant_s)
        return self.target + (self._start - self.target) * left

    def aim(self, target: float) -> None:
        """Run towards another target from now on."""
        self._start = self.now
        self._since_us = self._clock.now_us
        self.target = target

    def jump(self, value: float) -> None:
        """Stand at a value at once, with the target as it was."""
        self._start = value
        self._since_us = self._clock.now_us

    def time_to_s(self, level: float) -> float | None:
        """Return how long from now until it passes a level, s; None when it never does."""
        here = self.now
        if (level - here) * (self.target - level) <= 0.0:
            return None
        return self.time_constant_s * log((self.target - here) / (self.target - level))
