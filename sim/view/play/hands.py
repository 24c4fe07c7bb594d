"""Hands on the console: which source holds which key down, so that two keys can really be held at once.

A source is the mouse or one key of the keyboard. The mouse is one hand only, so the other one stays
where the mouse has left it: on a palm key for half a second, on the enabling device until it is moved
on. With sticky keys, for people who use one hand, a hand stays on a key until the next click; that
option goes into the record as a note.
Never here: whether a press is allowed.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.control.actions import ACTIONS
from sim.control.actions import BY_NAME as BY_ACTION
from sim.control.decision import Decision
from sim.control.rules_of_use import WANTS_PALMS
from sim.control.two_hand import LIMIT_US
from sim.kernel.pacing import wall_s
from sim.saw import latches
from sim.session.kept import told
from sim.session.session import Session
from sim.signals import BY_KEY, Source
from sim.view.play.console_rows import STOPS
from sim.words.message import Message, plain

MOUSE: Final = "mouse"
PALMS: Final = ("palm.left", "palm.right")
ENABLE: Final = "enable"
LET_GO, MIDDLE, THROUGH = 0, 1, 2  # positions of the enabling device
HELD_TO_MOVE: Final = frozenset(row.name for row in ACTIONS if row.halt) | {
    "band.slower", "band.faster",
}  # fmt: skip
_SAID_S: Final = 8.0  # how long a refusal stands beside its key
_SLOW: Final = 0.25  # the pace while one hand waits on a palm key for the mouse to bring the other
_STAYS: Final = plain(
    "window.palm.stays",
    "One hand stays here for half a second, and time runs at a quarter: press the other palm key now.",
)
_PARKED: Final = plain(
    "window.palm.parked",
    "One hand waits here: press the other palm key, and both go down together.",
)
_PAUSED: Final = plain(
    "window.palm.paused", "Paused. The palm keys are taken only while time runs: press space first."
)
_AWAY: Final = plain(
    "window.hands-away", "Your hands are at the saw. Wait until they are back, or break off."
)
_COMES_BACK: Final = plain(
    "window.hands-come-back", "Broken off: your hands come back, and press this in a second."
)
_FROZEN: Final = plain(
    "window.hands-frozen",
    "The instructor has frozen the machine; this is pressed the moment it goes on.",
)
_OVER: Final = plain(
    "window.stop.over", "The run has ended, and nothing of the saw moves any more."
)
LATCHES: Final = frozenset(latches())


@dataclass(frozen=True, slots=True)
class Refused:
    """The last key that was refused or asked about, and what is said beside it."""

    key: str
    said: Message
    at_s: float  # on the wall
    refusal: bool = True  # else it is only told

    @property
    def stale(self) -> bool:
        """Whether it was said long enough ago to go."""
        return wall_s() - self.at_s > _SAID_S


class Hands:
    """What is held down, by what."""

    def __init__(self, session: Session, paused: Callable[[], bool] = lambda: False) -> None:
        self._session = session
        self._paused = paused  # whether time stands
        self._by_source: dict[str, str] = {}
        self._parked: set[str] = set()
        self._stays: dict[str, int] = {}  # palm key -> until when the mouse's hand stays on it, us
        self._squeezed: dict[str, int] = {}  # source -> how far it presses the enabling device
        self._due: set[str] = set()  # stops that hands come back for
        self._through = False  # it was pressed through, and not let go since
        self.sticky = False
        self.refused: Refused | None = None
        self.past_end: Callable[[], None] = _nothing  # called for a stop after the end

    def set_sticky(self, on: bool) -> None:
        """Turn sticky keys on or off; the record says so."""
        if on != self.sticky:
            self.let_go()
            self.sticky = on
            if not self._session.over:
                self._session.note(told.STICKY_ON if on else told.STICKY_OFF)

    def down(self, key: str) -> bool:
        """Return whether a key stands pressed, by a hand or by itself."""
        if BY_KEY[key].source is Source.SWITCH:
            return self._session.saw.bus.driven(BY_KEY[key].tag)
        return key in self._parked or key in self._session.saw.held

    @property
    def slowest(self) -> float:
        """The most that time may race now, times as fast as life."""
        alone = self._by_source.get(MOUSE) in PALMS and not all(map(self.down, PALMS))
        if self._stays or alone:
            return _SLOW
        waits = self._session.saw.controller.asked or any(map(self.down, PALMS))
        return 1.0 if waits else float("inf")

    def tick(self) -> None:
        """Take a hand away that the mouse has left on a palm key, when its time is over."""
        if self._due and not self._session.frozen:
            self._come_back()
        now_us = self._session.saw.clock.now_us
        for key in [key for key, until_us in self._stays.items() if now_us >= until_us]:
            self._lift(key)

    # Keys ---------------------------------------------------------------------------------

    def press(self, source: str, key: str) -> None:
        """Put the hand of a source on a key."""
        session = self._session
        if session.over and key in STOPS:
            self.tell(key, _OVER)
            self.past_end()
        if session.over or source in self._by_source:
            return
        self.refused = None
        busy = session.under_way
        if session.frozen and key in STOPS:
            self._due.add(key)
            self.tell(key, _FROZEN)
        elif busy is not None:
            self._call_back(key)
        elif key == ENABLE:
            self.squeeze(source, MIDDLE)
        elif key in LATCHES:
            self._answer(session.release(key) if key in session.saw.held else session.press(key))
        elif key in PALMS and self._paused():
            self.tell(key, _PAUSED)
        elif self.sticky and (key in HELD_TO_MOVE or key in PALMS):
            self._park(source, key)
        else:
            held = self.down(key) and BY_KEY[key].source is Source.KEY
            self._by_source[source] = key
            self._stays.pop(key, None)
            if not held:
                self._answer(session.press(key))

    def _call_back(self, key: str) -> None:
        """Refuse a key that no hand is free for; for a stop, come back and press it."""
        session = self._session
        if key not in STOPS:
            self.refused = Refused(key, _AWAY, wall_s())
            return
        if session.break_off().taken or key not in self._due:
            self._due.add(key)
            self.tell(key, _COMES_BACK)

    def _come_back(self) -> None:
        """Press the stops that the hands have been called back for; else call them back."""
        busy = self._session.under_way
        if busy is not None:
            if not busy.broken:
                self._session.break_off()
            return
        due, self._due = self._due, set()
        for key in sorted(due):
            if not self._session.over and not (key in LATCHES and key in self._session.saw.held):
                self._answer(self._session.press(key))
            if key not in LATCHES and not self._session.over:
                self._session.release(key)

    def _park(self, source: str, key: str) -> None:
        """Leave a hand on a key, or take it off again."""
        session = self._session
        if key in self._parked:
            self._parked.discard(key)
            if key not in PALMS:
                session.release(key)
        elif key not in PALMS:
            self._parked.add(key)
            self._answer(session.press(key))
        elif _other(key) in self._parked:  # both go down together
            self._parked.discard(_other(key))
            self._by_source[source] = key
            self._answer(session.press(*PALMS))
        else:
            self._parked.add(key)
            self.tell(key, _PARKED)

    def release(self, source: str) -> None:
        """Take the hand of a source away."""
        session = self._session
        if self._squeezed.pop(source, None) is not None:
            self._set_enable()
        key = self._by_source.pop(source, None)
        if key is None or key in self._by_source.values() or session.over:
            return
        if BY_KEY[key].source is Source.SWITCH:
            return
        if key in PALMS and self.sticky:
            session.release(*PALMS)
        elif key in PALMS and source == MOUSE and not self.down(_other(key)):
            self._stays[key] = session.saw.clock.now_us + LIMIT_US
            if self.refused is None:
                self.tell(key, _STAYS)
        else:
            self._answer(session.release(key))
            if key in PALMS and _other(key) in self._stays:
                self._lift(_other(key))

    def off_palms(self) -> None:
        """Take every hand off the palm keys: time stands, and both would come together however late."""
        for source in [each for each, key in self._by_source.items() if key in PALMS]:
            del self._by_source[source]
        self._parked -= set(PALMS)
        for key in PALMS:
            if self.down(key):
                self._lift(key)

    def _lift(self, key: str) -> None:
        self._stays.pop(key, None)
        if key not in self._by_source.values() and not self._session.over:
            self._session.release(key)

    # The enabling device -------------------------------------------------------------------

    @property
    def squeezed(self) -> int:
        """How far the enabling device is pressed: let go, in its middle, or through."""
        return THROUGH if self._through else max(self._squeezed.values(), default=LET_GO)

    def squeeze(self, source: str, to: int) -> None:
        """Press the enabling device so far; letting a source go lets it go."""
        if not self._session.over:
            self.refused = None
            self._squeezed[source] = to
            self._set_enable()

    def leave_squeezed(self, to: int) -> None:
        """Have the hand that the mouse does not show press the enabling device so far, and stay."""
        if to == LET_GO:
            self._squeezed.clear()
            self._set_enable()
        else:
            self.squeeze("other hand", to)

    def _set_enable(self) -> None:
        """Press or release its wire. Pressed through, it counts again only after it was let go."""
        asked = max(self._squeezed.values(), default=LET_GO)
        self._through = asked == THROUGH or (self._through and asked != LET_GO)
        session = self._session
        if session.over:
            return
        wanted = asked == MIDDLE and not self._through
        if wanted != (ENABLE in session.saw.held):
            self._answer(session.press(ENABLE) if wanted else session.release(ENABLE))

    # Saying -------------------------------------------------------------------------------

    def tell(self, key: str, said: Message) -> None:
        """Say something beside a key for a while."""
        self.refused = Refused(key, said, wall_s(), refusal=False)

    def let_go(self) -> tuple[str, ...]:
        """Take every hand away; return the keys that a hand was held on."""
        held = self._session.saw.held
        mine = {*self._by_source.values(), *self._parked, *((ENABLE,) if self._squeezed else ())}
        gone = tuple(sorted(key for key in mine & held if BY_KEY[key].source is Source.KEY))
        for source in list(self._by_source):
            self.release(source)
        for key in list(self._stays):
            self._lift(key)
        self._squeezed.clear()
        self._set_enable()
        for key in self._parked - set(PALMS):
            if not self._session.over:
                self._session.release(key)
        self._parked.clear()
        return gone

    def _answer(self, decision: Decision | None) -> None:
        if decision is not None and not decision.accepted:
            waits = decision.refusals == (WANTS_PALMS,)
            self.refused = Refused(decision.action, decision.sentence, wall_s(), refusal=not waits)


def _nothing() -> None:
    return


def _other(palm: str) -> str:
    return PALMS[1 - PALMS.index(palm)]


def needs_palms(key: str) -> bool:
    """Return whether a key only counts with both palm keys after it."""
    row = BY_ACTION.get(key)
    return row is not None and row.palms
