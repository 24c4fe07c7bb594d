"""What was seen: the looks at the machine and what each showed, and what the control was asked.

Never here: how a look is made (see `inspections`), or what blocks a key (see `session.why`).
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from sim.session.measuring import Measured
from sim.words.message import Message


@dataclass(frozen=True, slots=True)
class Look:
    """One inspection that was made."""

    at_us: int
    name: str
    found: Message
    expected: str = ""  # what the trainee said beforehand
    levels: Mapping[str, bool] = field(default_factory=dict)  # of the wires that it told
    measured: Measured | None = None  # where a piece was measured

    @property
    def judged(self) -> Message:
        """What tells causes apart of it: what was found, or the band that a reading fell into."""
        return self.found if self.measured is None else self.measured.band


@dataclass(frozen=True, slots=True)
class KeyAnswer:
    """One answer of the control to what blocks a key."""

    at_us: int
    key: str
    said: Message


class Seen:
    """The looks of a session and the answers of its control, in order; what its hands have set."""

    def __init__(self) -> None:
        self.looks: list[Look] = []
        self.answers: list[KeyAnswer] = []
        self.set_by_hand: set[str] = set()  # set points

    def has(self, name: str) -> bool:
        """Return whether an inspection was made."""
        return any(look.name == name for look in self.looks)
