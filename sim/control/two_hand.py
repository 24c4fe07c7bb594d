"""Two-hand control after ISO 13851 type III: both palm keys, together, and afresh each time.

A start counts when the two palm keys go down within 0.5 s of each other and both were up before.
After any use, good or bad, both must be let go before the next. (The 0.5 s and the
re-initiation rule were found in a maker's public page on two-hand devices; the standard itself was
not read.)
"""

from enum import Enum
from typing import Final

from sim.units import US

LIMIT_US: Final = US // 2
PALMS: Final = ("S3", "S4")


class TwoHand(Enum):
    """What a press of a palm key amounts to."""

    TOGETHER = "together"
    WAITING = "waiting"  # the first of the two has just gone down
    TOO_LATE = "too late"
    STALE = "stale"  # a key was already down when the last attempt ended


class TwoHandPair:
    """Watches the two palm keys, by their tags."""

    def __init__(self) -> None:
        self._down = dict.fromkeys(PALMS, False)
        self._fresh = True  # both have been up since the last attempt
        self._first_us = 0

    def void(self) -> None:
        """Count hands that are on the keys now for nothing: both keys must come up first."""
        self._fresh = not any(self._down.values())

    def may_join(self, now_us: int) -> bool:
        """Return whether a second palm key would still go down together with the first, afresh."""
        return self._fresh and now_us - self._first_us <= LIMIT_US

    def release(self, tag: str) -> None:
        """Note that a palm key came up."""
        self._down[tag] = False
        if not any(self._down.values()):
            self._fresh = True

    def press(self, tag: str, now_us: int) -> TwoHand:
        """Return what the pair amounts to now that a palm key went down."""
        self._down[tag] = True
        if not all(self._down.values()):
            self._first_us = now_us
            return TwoHand.WAITING
        fresh, self._fresh = self._fresh, False
        if not fresh:
            return TwoHand.STALE
        return TwoHand.TOGETHER if now_us - self._first_us <= LIMIT_US else TwoHand.TOO_LATE
