"""When to practise again: the SM-2 schedule.

Wozniak 1990, from memory. An item has an ease, 2.5 to begin with. Each repetition is graded 0 to 5.
The first interval is 1 day, the second 6, and each one after it the one before times the ease,
rounded up. A grade q changes the ease by 0.1 - (5 - q)(0.08 + (5 - q) 0.02), never below 1.3. Below
3 the intervals begin again and the ease stays. What was graded below 4 is repeated on the same day
until it is not.

Ours, where the schedule is silent: of several attempts on one day the first is the repetition, the
others only settle whether the day's work is done; and a pass before the item was due is practice
that moves nothing, or doing a thing every day would soon put it off for months.

Never here: what a skill is.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil
from typing import Final

FIRST_EASE: Final = 2.5
LEAST_EASE: Final = 1.3
PASSED: Final = 3  # the least grade that goes on
SETTLED: Final = 4  # the least grade that needs no more work on the day
_FIRST_DAYS: Final = (1, 6)
_HAIR: Final = 1e-9  # 6 x 2.5 is 15, whatever its last bit says


@dataclass(frozen=True, slots=True)
class Item:
    """Where one item stands in the schedule."""

    ease: float = FIRST_EASE
    repetitions: int = 0  # passed one after another
    interval_days: int = 0
    last_day: int | None = None  # of the last repetition
    again_today: bool = False  # the last attempt was not yet good enough

    @property
    def due_day(self) -> int | None:
        """The day of the next repetition; None when there was none yet."""
        return None if self.last_day is None else self.last_day + self.interval_days


def repeated(item: Item, day: int, grade: int) -> Item:
    """Return where an item stands after an attempt.

    Args:
        item: Before it.
        day: Its day, a running number, not before the last.
        grade: 0 to 5.
    """
    again = grade < SETTLED
    due_day = item.due_day
    early = due_day is not None and day < due_day and grade >= PASSED
    if day == item.last_day or early:
        return replace(item, again_today=again)
    if grade < PASSED:
        return replace(
            item, repetitions=0, interval_days=_FIRST_DAYS[0], last_day=day, again_today=again
        )
    repetitions = item.repetitions + 1
    interval_days = (
        _FIRST_DAYS[item.repetitions]
        if item.repetitions < len(_FIRST_DAYS)
        else ceil(item.interval_days * item.ease - _HAIR)
    )
    return Item(eased(item.ease, grade), repetitions, interval_days, day, again)


def eased(ease: float, grade: int) -> float:
    """Return the ease after a grade."""
    short = 5 - grade
    return max(ease + 0.1 - short * (0.08 + short * 0.02), LEAST_EASE)


def schedule(attempts: Sequence[tuple[int, int]]) -> Item:
    """Return where an item stands after attempts, each a day and a grade, in order."""
    item = Item()
    for day, grade in attempts:
        item = repeated(item, day, grade)
    return item
