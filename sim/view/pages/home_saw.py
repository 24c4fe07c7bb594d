"""The saw at work on the home page: the autopilot runs a job for nobody, seen as its operator sees it.

It is drawn a few times a second, and only while it is seen; where no motion is wanted it stands.
Never here: a record, a sound, or anything that a trainee did.
"""

from typing import Final

from pygame import Rect, Surface

from sim.control.table import JOB_UNDER_WAY
from sim.errors import DrycycleError
from sim.kernel.pacing import wall_s
from sim.pilot import autopilot
from sim.session.opening import open_session
from sim.session.session import Session
from sim.units import US
from sim.view.kit.palette import Palette
from sim.view.kit.pen import Pen
from sim.view.picture.round.camera import SIGHTS, Camera
from sim.view.picture.round.colours import paints
from sim.view.picture.round.view import RoundShown
from sim.view.play.motion import stands

_JOB: Final = "rail-posts"
EVERY_S: Final = 0.1  # on the wall, between two pictures, at least
_PX_A_S: Final = 8e6  # that are drawn, at the most: on a large screen there are fewer pictures
_MOST_S: Final = 0.5  # that one of them is later than the one before
_PACE: Final = 2.0
_RESTS_S: Final = 4.0  # after a job, before the next


class HomeSaw:
    """One saw that works for nobody."""

    def __init__(self) -> None:
        self.pictures = 0  # how many there were; another one is another picture
        self._session = _at_work()
        self._at_s = wall_s()
        self._over_s = 0.0
        self._every_s = EVERY_S
        self._seen: tuple[tuple[tuple[int, int], Palette], RoundShown, Surface] | None = None

    def tick(self) -> None:
        """Let as much time pass as has passed on the wall, where another picture is due."""
        now = wall_s()
        passed = min(now - self._at_s, _MOST_S)
        if stands() or self._session is None or now - self._at_s < self._every_s:
            return
        self._at_s = now
        if self._session.saw.controller.job.state in JOB_UNDER_WAY and not self._session.over:
            self._session.advance_us(round(passed * _PACE * US))
            self._over_s = now
        elif now - self._over_s > _RESTS_S:
            self._session, self._seen, self._over_s = _at_work(), None, now
        else:
            return
        self.pictures += 1

    def paint(self, pen: Pen, place: Rect) -> None:
        """Paint it."""
        if self._session is None:
            pen.fill(place, pen.palette.paper)
            return
        key = (place.size, pen.palette)
        if self._seen is None or self._seen[0] != key:
            area = Rect((0, 0), place.size)
            shown = RoundShown(self._session, Camera(SIGHTS[0], area, area), paints(pen.palette))
            self._seen = key, shown, Surface(place.size)
            self._every_s = max(EVERY_S, place.width * place.height / _PX_A_S)
        _, shown, surface = self._seen
        shown.paint(surface)
        pen.surface.blit(surface, place)


def _at_work() -> Session | None:
    """Return a saw in the middle of a job; none where a file of it is refused."""
    try:
        session = open_session(_JOB, nonce="for nobody")
        autopilot.power_up(session)
        autopilot.set_up(session)
        autopilot.begin(session)
    except DrycycleError:
        return None
    return session
