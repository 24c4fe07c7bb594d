"""What is heard of a session: events for the trainee, and those that are told after the close only.

Never here: what was done (see `deeds`) and what looks have shown (see `seen`).
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.kernel.long_list import LongList
from sim.records.kinds import EventKind
from sim.words.message import Message

__all__ = ["ON_RECORD", "Event", "EventKind", "Heard"]


ON_RECORD: Final = frozenset({
    EventKind.CUT, EventKind.CONSEQUENCE, EventKind.REASON, EventKind.UNSAFE, EventKind.FINDING,
    EventKind.STEP,
})  # fmt: skip
"""The kinds of event that the record has as lines of their own."""


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened, for the time line."""

    at_us: int
    kind: EventKind
    message: Message


class Heard:
    """The two time lines of a session.

    Args:
        now_us: Says what time it is.
        told: Called with every event that the trainee may read.
    """

    def __init__(self, now_us: Callable[[], int], told: Callable[[Event], None]) -> None:
        self.events: LongList[Event] = LongList()  # what the trainee may read at any time
        self.behind: LongList[Event] = LongList()  # what they are told after the close
        # How long both were at each going back: what follows lies before the end of what came before.
        self.went_back: tuple[tuple[int, int], ...] = ()
        self._now_us = now_us
        self._told = told

    def take_over(self, before: "Heard") -> None:
        """Go on behind what was heard in a session from which this one went back; nothing of it is lost."""
        self.events, self.behind = before.events, before.behind
        self.went_back = *before.went_back, (len(self.events), len(self.behind))

    def tell(self, kind: EventKind, message: Message) -> None:
        """Write down what happened, for everybody."""
        event = Event(self._now_us(), kind, message)
        self.events.append(event)
        self._told(event)

    def keep_back(self, kind: EventKind, message: Message) -> None:
        """Write down what happened, for after the close."""
        self.behind.append(Event(self._now_us(), kind, message))
