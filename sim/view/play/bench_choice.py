"""What is chosen on the logic bench: the part that is open, the key that is asked about, the way out of it."""

from dataclasses import dataclass, field
from typing import Final

from sim.control.actions import BY_NAME as BY_ACTION
from sim.logic.bench.way import Way
from sim.logic.bench.why_not import Against
from sim.session.session import Session
from sim.session.sights.known import hides
from sim.session.why import answer_to, devices_against
from sim.teaching.way_out import way_out
from sim.view.kit.controls import Typed
from sim.words.message import Message, plain

LADDERS: Final = (
    ("outputs", plain("bench.ladder.outputs", "outputs")),
    ("keys", plain("bench.ladder.keys", "keys")),
)
MAY_MEDDLE: Final = ("practice", "lesson")
_LOOK_EVERY: Final = 6  # frames; what stands against a key is no matter of milliseconds


@dataclass
class BenchChoice:
    """One bench at one session."""

    session: Session
    part: str = "why"
    asked: str = ""  # nothing yet, where asking is evidence
    ladder: str = "outputs"
    search: Typed = field(default_factory=Typed)  # of wires
    way: Way | None = None
    sought: bool = False  # a way was looked for; None then means that there is none
    _against: tuple[Against, ...] = ()
    _read: Message | None = None  # what was last read of it here, where it is evidence
    _frames: int = 0

    def __post_init__(self) -> None:
        """Ask about the band at once, where asking tells nothing that counts."""
        if not hides(self.session):
            self.asked = "band.run"

    def ask(self, key: str) -> None:
        """Ask about another key."""
        if key in BY_ACTION:
            self.asked = key
            self._read = None
            self.forget_way()

    def forget_way(self) -> None:
        """Drop the way out, because the machine no longer stands where it begins."""
        self.way, self.sought = None, False

    def against(self) -> tuple[Against, ...]:
        """Return what stands against the key now; what is read of it is evidence."""
        self._against = self._now_against()
        if self.asked and hides(self.session) and not self.session.closed:
            said = answer_to(self.session.saw, self.session.trace, self.asked)
            if said != self._read:
                self._read = said
                self.session.ask(self.asked)
        return self._against

    def _now_against(self) -> tuple[Against, ...]:
        here = self.session
        if not self.asked:
            return ()
        return devices_against(here.saw, here.trace, self.asked)

    def moved(self) -> bool:
        """Return whether something else stands against the key than was last told."""
        self._frames += 1
        if self.part != "why" or self._frames % _LOOK_EVERY:
            return False
        if self._now_against() == self._against:
            return False
        self.forget_way()
        return True

    def seek_way(self) -> None:
        """Look for the shortest way to the key; in lessons and practice it is tried on a copy."""
        self.way, self.sought = way_out(self.session, self.asked), True
