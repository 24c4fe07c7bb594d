"""In which order skills are practised that are all due: mixed, not one skill in a row.

Rohrer and Taylor 2007 (The shuffling of mathematics problems improves learning, Instructional Science
35, 481-498; from memory): kinds of problem that come mixed are worked worse on the day and better on the
test than those that come kind by kind, because each time the kind has to be found out as well.

Never here: what is due.
"""

from collections.abc import Sequence, Set
from typing import TypeVar

T = TypeVar("T")


def mixed(tasks: Sequence[tuple[T, Set[str]]]) -> tuple[T, ...]:
    """Return tasks in an order in which neighbours share no skill, as far as those that are left allow.

    Args:
        tasks: Each with the skills that it trains, the most urgent first. Where several would do, the more
            urgent one comes first.
    """
    left, ordered = list(tasks), list[tuple[T, Set[str]]]()
    while left:
        last: Set[str] = ordered[-1][1] if ordered else frozenset()
        ordered.append(left.pop(min(range(len(left)), key=lambda at: len(left[at][1] & last))))
    return tuple(task for task, _ in ordered)
