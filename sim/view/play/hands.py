"""Hands on the desk: which source holds which key down, so that two keys can really be held at once.

A source is the mouse or one key of the keyboard. With sticky keys, for people who use one hand, a
click parks a hand on a key until the next; that option goes into the record as a note.
Never here: whether a press is allowed.
"""

from dataclasses import dataclass
from typing import Final

from sim.control.actions import ACTIONS
from sim.control.actions import BY_NAME as BY_ACTION
from sim.control.decision import Decision
from sim.kernel.pacing import wall_s
from sim.saw import latches
from sim.session.kept import told
from sim.session.session import Session
from sim.words.message import Message, plain

TWO_HAND: Final = "supply.two_hand"
STARTS: Final = frozenset(row.name for row in ACTIONS if row.two_hand)
HELD_TO_MOVE: Final = frozenset(row.name for row in ACTIONS if row.halt) | {
    "band.slower", "band.faster",
}  # fmt: skip
_SAID_S: Final = 8.0  # how long a refusal stands beside its key
NOTHING_AGAINST: Final = plain("window.nothing-against", "Nothing stands against it.")
LATCHES: Final = frozenset(latches())


@dataclass(frozen=True, slots=True)
class Refused:
    """The last key that was refused or asked about, and why."""

    key: str
    said: Message
    at_s: float  # on the wall
    refusal: bool = True  # else it was only asked about

    @property
    def stale(self) -> bool:
        """Whether it was said long enough ago to go."""
        return wall_s() - self.at_s > _SAID_S


class Hands:
    """What is held down, by what."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._by_source: dict[str, str] = {}
        self._parked: set[str] = set()
        self.sticky = False
        self.refused: Refused | None = None

    def set_sticky(self, on: bool) -> None:
        """Turn sticky keys on or off; the record says so."""
        if on != self.sticky:
            self.let_go()
            self.sticky = on
            if not self._session.over:
                self._session.note(told.STICKY_ON if on else told.STICKY_OFF)

    def down(self, key: str) -> bool:
        """Return whether a key stands pressed, by a hand or by itself."""
        return key in self._parked or key in self._session.saw.held

    @property
    def two_handing(self) -> bool:
        """Whether a hand is on a key of a two-hand start: time must not race then."""
        return any(key == TWO_HAND or key in STARTS for key in self._by_source.values())

    def press(self, source: str, key: str) -> None:
        """Put the hand of a source on a key."""
        session = self._session
        if session.over or source in self._by_source:
            return
        self.refused = None
        if key in LATCHES:
            self._answer(session.release(key) if key in session.saw.held else session.press(key))
        elif self.sticky and (key == TWO_HAND or key in HELD_TO_MOVE):
            self._park(key)
        elif self.sticky and key in STARTS and TWO_HAND in self._parked:
            self._by_source[source] = key
            self._answer(session.press(TWO_HAND, key))
        else:
            held = key in self._by_source.values()
            self._by_source[source] = key
            if not held:
                self._answer(session.press(key))

    def _park(self, key: str) -> None:
        session = self._session
        if key in self._parked:
            self._parked.discard(key)
            if key != TWO_HAND:
                session.release(key)
            return
        self._parked.add(key)
        if key != TWO_HAND:  # the two-hand key goes down together with the start key
            self._answer(session.press(key))

    def release(self, source: str) -> None:
        """Take the hand of a source away."""
        key = self._by_source.pop(source, None)
        session = self._session
        if key is None or key in self._by_source.values() or session.over:
            return
        if self.sticky and key in STARTS and TWO_HAND in self._parked:
            self._parked.discard(TWO_HAND)
            session.release(key, TWO_HAND)
        else:
            session.release(key)

    def tell(self, key: str, said: Message) -> None:
        """Say something beside a key for a while."""
        self.refused = Refused(key, said, wall_s(), refusal=False)

    def let_go(self) -> None:
        """Take every hand away."""
        for source in list(self._by_source):
            self.release(source)
        for key in self._parked - {TWO_HAND}:
            if not self._session.over:
                self._session.release(key)
        self._parked.clear()

    def _answer(self, decision: Decision | None) -> None:
        if decision is not None and not decision.accepted:
            self.refused = Refused(decision.action, decision.sentence, wall_s())


def needs_two_hands(key: str) -> bool:
    """Return whether a key only counts together with the two-hand key."""
    row = BY_ACTION.get(key)
    return row is not None and row.two_hand
