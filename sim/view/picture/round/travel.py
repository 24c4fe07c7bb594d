"""How far a band is drawn to have run: slower than it runs, and never so far at once that it seems to go back.

From one picture to the next it goes by its speed then, so that it neither leaps nor turns round while it
gathers speed; by less than half a pitch, however far apart the pictures are.
"""

from typing import Final

from sim.session.session import Session
from sim.units import US
from sim.view.play.motion import running_us

_STEP_SHARE: Final = 0.42  # of a pitch, at most, from one picture to the next


class Travel:
    """The way of one band in one picture.

    Args:
        session: Whose band.
        slowed: Share of its speed that the eye can follow.
    """

    def __init__(self, session: Session, slowed: float) -> None:
        self._session, self._slowed = session, slowed
        self._at_us = running_us(session)
        self._way_m = 0.0

    def way_m(self, pitch_m: float) -> float:
        """Return how far it has run, m.

        Args:
            pitch_m: After how far the band looks the same.
        """
        now_us = running_us(self._session)
        band = self._session.saw.plant.band
        gone_us, self._at_us = now_us - self._at_us, now_us
        if gone_us > 0 and band.turning:
            step_m = band.speed_m_s * gone_us / US * self._slowed
            self._way_m += min(step_m, _STEP_SHARE * pitch_m)
        return self._way_m
