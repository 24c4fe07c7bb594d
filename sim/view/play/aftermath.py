"""What is shown after something came to harm: how it would have gone on, and then the card or the strip.

For two seconds the picture shows it, slowed; the saw has its consequence already, and nothing of it
advances by that. Where somebody wants no motion the last picture stands there at once.

Never here: how each kind is shown (see `happening`), and whether a session may go back.
"""

from collections.abc import Callable, Mapping
from typing import Final

from sim.kernel.pacing import wall_s
from sim.plant.harm.consequences import Consequence, Severity
from sim.session.playback.rewind import may_rewind
from sim.session.session import Session
from sim.session.sights.known import hides
from sim.view.play.happening import heard, is_shown
from sim.view.play.motion import stands
from sim.view.play.synth import Note

LASTS_S: Final = 2.0  # on the wall
PICTURES: Final = 60  # at most, from its beginning to its end


class Aftermath:
    """That of one session.

    Args:
        session: What comes to harm in it.
        wall: The time on the wall, s.
    """

    def __init__(self, session: Session, wall: Callable[[], float] = wall_s) -> None:
        self._session, self._wall = session, wall
        self._seen = len(session.saw.consequences)
        self._begun_s: float | None = None  # None where it is over
        self.harm: Consequence | None = None  # that is shown, or was shown last
        self._read = False

    def look(self) -> None:
        """Take note of what has come to harm since the last call."""
        harms = self._session.saw.consequences
        new = [each for each in harms[self._seen :] if self._shown(each)]
        self._seen = len(harms)
        if new:
            ending = [each for each in new if each.row.severity is Severity.STOP]
            self.harm = (ending or new)[-1]
            self._begun_s, self._read = self._wall(), False
        if self._begun_s is not None and self._share() >= 1.0:
            self._begun_s = None

    def _shown(self, harm: Consequence) -> bool:
        """Return whether it is shown at all: a mere warning is not, nor what a drill keeps back."""
        ends = harm.row.severity is Severity.STOP
        return is_shown(harm.kind) and (ends or not hides(self._session))

    def _share(self) -> float:
        if self._begun_s is None or stands():
            return 1.0
        return min((self._wall() - self._begun_s) / LASTS_S, 1.0)

    @property
    def playing(self) -> bool:
        """Whether the picture still shows how it would have gone on."""
        self.look()
        return self._begun_s is not None

    @property
    def share(self) -> float:
        """How far that is, 0 to 1, in as many steps as there are pictures; 1 from its end on."""
        self.look()
        return round(self._share() * PICTURES) / PICTURES

    def notes(self) -> Mapping[str, Note]:
        """Return what is heard of it, by voice."""
        if not self.playing or self.harm is None:
            return {}
        return heard(self.harm.kind, self._share())

    def end(self) -> None:
        """Show its end at once."""
        self.look()
        self._begun_s = None

    def read(self) -> None:
        """Take the strip as read."""
        self._read = True

    @property
    def card(self) -> bool:
        """Whether the card of a run that has ended lies over the picture."""
        return self._session.saw.plant.site.wrecked and not self.playing

    @property
    def strip(self) -> Consequence | None:
        """What the strip of a run that goes on tells of, with the way back; None for no strip."""
        if self.playing or self._read or self._session.over or not may_rewind(self._session):
            return None
        return self.harm

    @property
    def offers(self) -> bool:
        """Whether the way back is offered now."""
        return (self.card or self.strip is not None) and may_rewind(self._session)

    @property
    def face(self) -> tuple[bool, Consequence | None, Consequence | None, bool]:
        """What the page hangs on."""
        return self.card, self.strip, self.harm if self.playing else None, self.offers
