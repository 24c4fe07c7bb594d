"""Two-hand control after ISO 13851 type III: both hands, together, and afresh each time.

A start counts when the two-hand key and the start key go down within 0.5 s of each other and both
were up before. After any use, good or bad, both must be let go before the next. (The 0.5 s and the
re-initiation rule were found in a maker's public page on two-hand devices; the standard itself was
not read.)
"""

from enum import Enum
from typing import Final

from sim.units import US

LIMIT_US: Final = US // 2


class TwoHand(Enum):
    """What a press of the start key amounts to."""

    TOGETHER = "together"
    WAITING = "waiting"  # the first of the two keys has just gone down
    TOO_LATE = "too late"
    STALE = "stale"  # a key was already down when the last attempt ended


class TwoHandPair:
    """Watches the two-hand key and one start key."""

    def __init__(self) -> None:
        self._down = {"hand": False, "start": False}
        self._fresh = True  # both have been up since the last attempt
        self._first_us = 0

    def void(self) -> None:
        """Let the keys that are down now count for nothing until both have come up."""
        self._fresh = not (self._down["hand"] or self._down["start"])

    def release(self, key: str) -> None:
        """Note that the key `hand` or `start` came up."""
        self._down[key] = False
        self._fresh = not (self._down["hand"] or self._down["start"])

    def press(self, key: str, now_us: int) -> TwoHand:
        """Return what the pair amounts to now that `hand` or `start` went down."""
        other = "start" if key == "hand" else "hand"
        self._down[key] = True
        if not self._down[other]:
            self._first_us = now_us
            return TwoHand.WAITING
        fresh, self._fresh = self._fresh, False
        if not fresh:
            return TwoHand.STALE
        return TwoHand.TOGETHER if now_us - self._first_us <= LIMIT_US else TwoHand.TOO_LATE
