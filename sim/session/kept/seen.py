"""What was seen: the looks at the machine and what each showed.

Never here: how a look is made (see `inspections`).
"""

from dataclasses import dataclass

from sim.words.message import Message


@dataclass(frozen=True, slots=True)
class Look:
    """One inspection that was made."""

    at_us: int
    name: str
    found: Message
    expected: str = ""  # what the trainee said beforehand


class Seen:
    """The looks of a session, in order."""

    def __init__(self) -> None:
        self.looks: list[Look] = []

    def has(self, name: str) -> bool:
        """Return whether an inspection was made."""
        return any(look.name == name for look in self.looks)
