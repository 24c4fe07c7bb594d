"""An instructor at the trainee's own window: what is chosen and typed there, and orders given from there.

Where the session has an instructor's code, nothing is ordered here before it was typed; without one,
only what nobody need vouch for. Opening the sheet, a wrong code and every refused order are in the
record, so that nobody tries out names in secret.
What was answered stands on the sheet only until it is left: a fault's name must not stay on the screen.
Never here: what an order does (see `session.instructor`).
"""

from dataclasses import dataclass, field
from typing import Final

from sim.errors import CommandError, DrycycleError
from sim.session.order_key import key_for
from sim.session.orders import UNSEEN, UNSIGNED, WRONG_CODE, Order, check_may, is_unseen, obey
from sim.session.session import Session
from sim.view.kit.controls import Typed
from sim.words.fields import Told
from sim.words.message import NOTHING, Message, plain

_CAME: Final = plain("window.instructor.came", "The instructor's sheet was opened in the window.")


@dataclass
class InstructorSeat:
    """One instructor at one session."""

    session: Session
    fault: str = ""  # chosen in the catalogue
    search: Typed = field(default_factory=Typed)
    words: Typed = field(default_factory=Typed)  # to tell or to mark
    code: Typed = field(default_factory=Typed)
    answer: Told = NOTHING
    here: bool = False
    known: bool = False  # the code was typed

    @property
    def asks(self) -> bool:
        """Whether the code is to be typed first."""
        return self.session.order_key is not None and not self.known

    def may(self, order: str) -> bool:
        """Return whether an order can be given here now."""
        if self.session.order_key is not None:
            return self.known
        try:
            check_may(self.session.scenario.mode, order)
        except CommandError:
            return False
        return True

    def enter(self) -> None:
        """Open the sheet; the record says so."""
        self.here = True
        if not self.session.over:
            self.session.instructor.mark(_CAME)

    def leave(self) -> None:
        """Leave nothing on the screen, and nobody known."""
        self.here = self.known = False
        self.fault = self.search.text = self.words.text = self.code.text = ""
        self.answer = NOTHING

    def unlock(self) -> None:
        """Take the code that was typed; a wrong one is in the record."""
        key, typed, self.code.text = self.session.order_key, self.code.text, ""
        if key is None or not typed:
            return
        self.known = key_for(typed, key.salt, key.check) is not None
        self.answer = NOTHING if self.known else CommandError(WRONG_CODE)
        if not self.known:
            self._refuse("", WRONG_CODE)

    def order(self, order: Order) -> None:
        """Carry an order out, or say why it is not taken."""
        try:
            if not self.known:
                self._check_may(order)
            self.answer = obey(self.session, order)
            if order.text:
                self.words.text = ""
        except DrycycleError as refused:
            self.answer = refused
            self._refuse(order.order, refused.what)
        if self.known and is_unseen(self.session.scenario.mode, order.order):
            self.answer = UNSEEN(order=order.order)

    def _check_may(self, order: Order) -> None:
        if self.session.order_key is not None:
            raise CommandError(UNSIGNED)
        check_may(self.session.scenario.mode, order.order)

    def _refuse(self, order: str, why: Message) -> None:
        if not self.session.closed:
            self.session.instructor.refused(order, why)
