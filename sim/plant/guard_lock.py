"""The locks of band guard and wheel cover: shut by a spring, drawn by the standstill relay B44.

Theory. A band that coasts runs for metres after its power has gone, so an interlock alone would come
too late (ISO 13855 and 14119, from memory). The lock is drawn only while there are 24 V and the band
stands by what it does, not by what its sensor says. Without power it stays as it was: a guard that was
opened before the isolator went off stays open, one that was shut stays shut. A guard can be shut at
any time, and is then held.

Never here: the controller, which neither draws the lock nor can.
"""

from typing import Final

from sim.plant.band import BandDrive
from sim.plant.guide import CLOSED
from sim.plant.padlocks import DEVICES, Padlocks
from sim.plant.power import Power
from sim.words.message import NOTHING, Message, plain

_MOVES: Final = plain(
    "guard-lock.band-moves",
    "It is locked while the band moves. Stop the band and wait until it stands.",
)
_NO_POWER: Final = plain(
    "guard-lock.no-power",
    "It is locked, and its lock is not drawn without control voltage. What is to stand open in a "
    "lock-out is opened before the isolator goes off: take the lock-out back, switch on, open it, and begin again.",
)
_NO_POWER_FREE: Final = plain(
    "guard-lock.no-power.free",
    "It is locked, and its lock is not drawn without control voltage. Switch the isolator on and open it; what is to "
    "stand open in a lock-out is opened before the isolator goes off.",
)
_COVERED: Final = plain(
    "set-point.band.covered",
    "The wheel cover is closed. Open it while there is power and the band stands; then lock out.",
)
_COVERED_DARK: Final = plain(
    "set-point.band.covered.no-power",
    "The wheel cover is closed, and without power it stays locked. Take the lock-out back, switch the isolator on, "
    "open the cover, and begin the lock-out again.",
)
_COVERED_DARK_FREE: Final = plain(
    "set-point.band.covered.no-power.free",
    "The wheel cover is closed, and without power it stays locked. Switch the isolator on, open the cover while the "
    "band stands, and then begin a lock-out.",
)


class GuardLock:
    """Whether a closed guard can be opened."""

    def __init__(self, power: Power, band: BandDrive, padlocks: Padlocks) -> None:
        self._power = power
        self._band = band
        self._padlocks = padlocks

    @property
    def drawn(self) -> bool:
        """Whether the standstill relay draws the locks."""
        return self._power.control and not self._band.moves

    def against(self, opens: bool) -> Message:
        """Return what the lock has against a guard that is to be opened; nothing for any other."""
        if not opens or self.drawn:
            return NOTHING
        if self._band.moves:
            return _MOVES
        return _NO_POWER if self._locked_out else _NO_POWER_FREE

    @property
    def covered(self) -> Message:
        """That the wheel cover is in the way of hands, and how it comes open; nothing when it stands open."""
        if self._band.guide.cover != CLOSED:
            return NOTHING
        if self._power.control:
            return _COVERED
        return _COVERED_DARK if self._locked_out else _COVERED_DARK_FREE

    @property
    def _locked_out(self) -> bool:
        """Whether a padlock hangs on the saw, so that there is a lock-out to be taken back."""
        return any(map(self._padlocks.on, DEVICES))
