"""What was seen: the looks at the machine and what each showed.

Never here: how a look is made (see `inspections`).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from sim.words.message import Message


@dataclass(frozen=True, slots=True)
class Look:
    """One inspection that was made."""

    at_us: int
    name: str
    found: Message
    expected: str = ""  # what the trainee said beforehand
    levels: Mapping[str, bool] = field(default_factory=dict)  # of the wires that it told


class Seen:
    """The looks of a session, in order, and what the hands of this session have set."""

    def __init__(self) -> None:
        self.looks: list[Look] = []
        self.set_by_hand: set[str] = set()  # set points

    def has(self, name: str) -> bool:
        """Return whether an inspection was made."""
        return any(look.name == name for look in self.looks)
