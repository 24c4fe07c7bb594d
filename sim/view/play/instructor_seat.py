"""An instructor at the trainee's own window: what is chosen and typed there, and orders given from there.

Opening the sheet and every refused order are marked in the record, so that nobody tries out names in
secret.
What was answered stands on the sheet only until it is left: a fault's name must not stay on the screen.
Never here: what an order does (see `session.instructor`).
"""

from dataclasses import dataclass, field
from typing import Final

from sim.errors import DrycycleError
from sim.session.orders import Order, obey
from sim.session.session import Session
from sim.view.kit.controls import Typed
from sim.words.fields import Told, name
from sim.words.message import NOTHING, plain, row

_CAME: Final = plain("window.instructor.came", "The instructor's sheet was opened in the window.")
_REFUSED: Final = row(
    "window.instructor.refused", "An order at the window was refused: {order}.", order=name()
)


@dataclass
class InstructorSeat:
    """One instructor at one session."""

    session: Session
    fault: str = ""  # chosen in the catalogue
    search: Typed = field(default_factory=Typed)
    words: Typed = field(default_factory=Typed)  # to tell or to mark
    answer: Told = NOTHING
    here: bool = False

    def enter(self) -> None:
        """Open the sheet; the record says so."""
        self.here = True
        if not self.session.over:
            self.session.instructor.mark(_CAME)

    def leave(self) -> None:
        """Leave nothing on the screen."""
        self.here = False
        self.fault = self.search.text = self.words.text = ""
        self.answer = NOTHING

    def order(self, order: Order) -> None:
        """Carry an order out, or say why it is not taken."""
        try:
            self.answer = obey(self.session, order)
            if order.text:
                self.words.text = ""
        except DrycycleError as refused:
            self.answer = refused
            if not self.session.over:
                self.session.instructor.mark(_REFUSED(order=order.order))
