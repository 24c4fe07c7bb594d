"""The work round a change of the band: the old one off and coiled, the new one seated.

Never here: the lock-out that it is done under, and the jogs after it (see `session.before.tracking`).
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from sim.plant.seat import COILED, LAID_ON, OPENED, SEATED
from sim.session.session import Session

SEAT: Final = "band.seat"
NEW_BAND: Final = "band.teeth_per_inch"
IN_HAND: Final = (NEW_BAND, "band.teeth_face")
"""What is set with the band in one's hands."""


@contextmanager
def band_off(session: Session, name: str) -> Iterator[None]:
    """Have the band off its wheels for what is set with it in hand, and seated again if it was before.

    Args:
        session: Whose saw it is.
        name: What is set; for a new band its coil is opened.
    """
    seat = session.saw.plant.band.seat
    was_seated = seat.place == SEATED
    if not seat.off and not session.over:
        session.set(SEAT, COILED)
    if name == NEW_BAND and not seat.waits_new and not session.over:
        session.set(SEAT, OPENED)
    yield
    if was_seated:
        seat_again(session)


def seat_again(session: Session) -> None:
    """Seat the band, the old one laid on again where none is on the wheels."""
    seat = session.saw.plant.band.seat
    if seat.off and not session.over:
        session.set(SEAT, LAID_ON)
    if seat.place != SEATED and not session.over:
        session.set(SEAT, SEATED)
