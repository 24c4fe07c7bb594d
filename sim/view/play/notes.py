"""What an instructor has told the trainee and nobody has yet said to have read.

A freeze stands for itself as long as it lasts, so it is not among them.
"""

from sim.session.kept.heard import EventKind
from sim.session.session import Session
from sim.words.message import Message

_STAND_BY_THEMSELVES = ("instructor.froze", "instructor.let-go-on")


class Notes:
    """The unread ones of one session, the oldest first."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._seen = len(session.heard.events)
        self._unread: list[Message] = []

    @property
    def unread(self) -> tuple[Message, ...]:
        """What nobody has read."""
        events = self._session.heard.events
        for number in range(self._seen, len(events)):
            event = events[number]
            told = event.kind == EventKind.INSTRUCTOR
            if told and event.message.key not in _STAND_BY_THEMSELVES:
                self._unread.append(event.message)
        self._seen = len(events)
        return tuple(self._unread)

    def take_over(self, other: "Notes") -> None:
        """Have what nobody has read of other notes, which the session before had."""
        self._unread = [*other.unread]

    def read(self) -> None:
        """Take the oldest as read."""
        del self._unread[:1]
