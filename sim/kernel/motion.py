"""Laws of motion: where a thing is, so many seconds after its segment began.

A law is a value. It answers three questions: where at, how fast at, and when at a mark. All laws
are monotonic, so a mark is passed once at the most. Positions are in the unit of the axis
(m, m/s or rad); times in s.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol


class Law(Protocol):
    """What an axis asks of a law."""

    @property
    def direction(self) -> int:
        """+1 when the position grows, -1 when it falls, 0 at rest."""

    @property
    def end(self) -> float:
        """Where it comes to rest."""

    def at(self, elapsed_s: float) -> float:
        """Return the position `elapsed_s` after the segment began."""

    def rate(self, elapsed_s: float) -> float:
        """Return the speed, with its sign, `elapsed_s` after the segment began."""

    def time_to(self, position: float) -> float | None:
        """Return when the position is reached, in s; None when it never is."""


@dataclass(frozen=True, slots=True)
class Rest:
    """Stays where it is."""

    position: float

    @property
    def direction(self) -> int:
        """0: it does not move."""
        return 0

    @property
    def end(self) -> float:
        """The position."""
        return self.position

    def at(self, _elapsed_s: float) -> float:
        """Return the position."""
        return self.position

    def rate(self, _elapsed_s: float) -> float:
        """Return 0."""
        return 0.0

    def time_to(self, _position: float) -> float | None:
        """Return None: no mark is ever passed."""
        return None


class Ramp:
    """Goes from `start` to `end` at a constant rate and stays there.

    Attributes:
        rate_per_s: More than 0; the sign follows from start and end.
        direction: The sign of end - start.
    """

    __slots__ = ("_way", "direction", "end", "rate_per_s", "start")

    def __init__(self, start: float, end: float, rate_per_s: float) -> None:
        self.start = start
        self.end = end
        self.rate_per_s = rate_per_s
        self.direction = (end > start) - (end < start)
        self._way = abs(end - start)

    def __repr__(self) -> str:
        return f"Ramp({self.start}, {self.end}, {self.rate_per_s})"

    def at(self, elapsed_s: float) -> float:
        """Return the position, held at `end` once there."""
        way = self.rate_per_s * elapsed_s
        if way >= self._way:
            return self.end
        return self.start + way * self.direction

    def rate(self, elapsed_s: float) -> float:
        """Return the signed rate, 0 once at the end."""
        arrived = self.rate_per_s * elapsed_s >= self._way
        return 0.0 if arrived else self.rate_per_s * self.direction

    def time_to(self, position: float) -> float | None:
        """Return when the ramp reaches the position; None past its end or behind its start."""
        way = (position - self.start) * self.direction
        if self.direction == 0 or way < 0 or way > self._way:
            return None
        return way / self.rate_per_s


class Tabled:
    """Follows a table, falling: the way a head comes down through a bar.

    Args:
        at_s: Position at a time on the table's own clock, in s.
        when_s: Time on the table's own clock at a position.
        since_s: The table's time at which this segment begins.
        end_s: The table's last time.

    Attributes:
        direction: -1, it falls.
        end: Its last position.
    """

    __slots__ = ("_start", "at_s", "direction", "end", "end_s", "since_s", "when_s")

    def __init__(
        self,
        at_s: Callable[[float], float],
        when_s: Callable[[float], float],
        since_s: float,
        end_s: float,
    ) -> None:
        self.at_s = at_s
        self.when_s = when_s
        self.since_s = since_s
        self.end_s = end_s
        self.direction = -1
        self._start, self.end = at_s(since_s), at_s(end_s)

    def at(self, elapsed_s: float) -> float:
        """Return the tabled position, held at the table's end."""
        at_s = self.since_s + elapsed_s
        return self.at_s(at_s) if at_s < self.end_s else self.end

    def rate(self, elapsed_s: float) -> float:
        """Return the slope over the millisecond about that time, 0 once at the table's end."""
        if self.since_s + elapsed_s >= self.end_s:
            return 0.0
        # of a table of years a millisecond is less than a number can tell
        half_s = max(5e-4, 1e-9 * self.end_s)
        early_s = max(self.since_s + elapsed_s - half_s, self.since_s)
        late_s = min(self.since_s + elapsed_s + half_s, self.end_s)
        return (self.at_s(late_s) - self.at_s(early_s)) / (late_s - early_s)

    def time_to(self, position: float) -> float | None:
        """Return when the table reaches the position; None below its end or above its start."""
        if position > self._start or position < self.end:
            return None
        return self.when_s(position) - self.since_s


@dataclass(frozen=True, slots=True)
class Jerky:
    """Follows another law in jerks: it stands for a part of every period, then makes up for it.

    Over whole periods it is as fast as the law it follows, so no mark is passed a period late.

    Args:
        law: What it would do if it ran evenly.
        period_s: From one standing still to the next, s.
        stands: Share of the period for which it stands, 0 to below 1.
    """

    law: Law
    period_s: float
    stands: float

    @property
    def direction(self) -> int:
        """That of the law it follows, standing or not."""
        return self.law.direction

    @property
    def end(self) -> float:
        """That of the law it follows."""
        return self.law.end

    def _even_s(self, elapsed_s: float) -> float:
        """Return the law's own time at a time."""
        periods = elapsed_s // self.period_s
        inside_s = elapsed_s - periods * self.period_s
        moved_s = max(0.0, inside_s - self.stands * self.period_s) / (1.0 - self.stands)
        return periods * self.period_s + moved_s

    def at(self, elapsed_s: float) -> float:
        """Return the position."""
        return self.law.at(self._even_s(elapsed_s))

    def rate(self, elapsed_s: float) -> float:
        """Return the rate: nothing while it stands, more than even while it moves."""
        inside_s = elapsed_s % self.period_s
        if inside_s < self.stands * self.period_s:
            return 0.0
        return self.law.rate(self._even_s(elapsed_s)) / (1.0 - self.stands)

    def time_to(self, position: float) -> float | None:
        """Return when the position is first reached; None when it never is."""
        even_s = self.law.time_to(position)
        if even_s is None:
            return None
        periods = even_s // self.period_s
        moved_s = even_s - periods * self.period_s
        if moved_s <= 0.0:
            return even_s
        return periods * self.period_s + self.stands * self.period_s + moved_s * (1 - self.stands)
