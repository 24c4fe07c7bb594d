"""The last minute of every wire: edges with their times, taken down as they come.

It listens to the bus as anybody may and changes nothing.
"""

from collections import deque
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import Final

from sim.saw import Saw
from sim.signals import Direction
from sim.units import US

SPAN_S: Final = 60.0
_LATEST: Final = 200  # edges that are kept for whoever asks what is new
_SPAN_US: Final = round(SPAN_S * US)
_FEED: Final = "Q0"


def _level(parts: Sequence[tuple[float, float, bool]], from_s: float) -> bool:
    """Return the level in the stretch that lasts on from a moment, s before now."""
    return next(level for start_s, end_s, level in parts if start_s >= from_s > end_s)


class LastMinute:
    """Edges of the wires as the controller sees them."""

    def __init__(self, saw: Saw) -> None:
        self._saw = saw
        self.noted = 0  # edges so far
        self._latest: deque[tuple[int, str]] = deque(maxlen=_LATEST)
        self._edges: dict[str, deque[tuple[int, bool]]] = {}
        self._first = dict(saw.bus.seen)  # the level before the first edge that is kept
        for side in Direction:
            saw.bus.listen(side, self._note)

    def _note(self, tag: str, value: bool) -> None:
        now_us = self._saw.clock.now_us
        edges = self._edges.setdefault(tag, deque())
        edges.append((now_us, value))
        self._latest.append((now_us, tag))
        self.noted += 1
        while edges and edges[0][0] < now_us - _SPAN_US:
            _, self._first[tag] = edges.popleft()

    def stretches(self, tag: str) -> Iterator[tuple[float, float, bool]]:
        """Yield the last minute of a wire: from, to (s before now, falling), and its level.

        Every wire is fed from the isolator, so none is live while that is off.
        """
        wire = list(self._levels(tag))
        fed = wire if tag == _FEED else list(self._levels(_FEED))
        cuts = sorted({at for part in (*wire, *fed) for at in part[:2]}, reverse=True)
        joined: list[tuple[float, float, bool]] = []
        for from_s, to_s in pairwise(cuts):
            level = all(_level(parts, from_s) for parts in (wire, fed))
            if joined and joined[-1][2] == level:
                from_s = joined.pop()[0]
            joined.append((from_s, to_s, level))
        yield from joined

    def _levels(self, tag: str) -> Iterator[tuple[float, float, bool]]:
        now_us = self._saw.clock.now_us
        level, since_s = self._first[tag], SPAN_S
        for at_us, value in self._edges.get(tag, ()):
            ago_s = (now_us - at_us) / US
            if ago_s >= SPAN_S:
                level = value
                continue
            if value != level:
                yield since_s, ago_s, level
                level, since_s = value, ago_s
        yield since_s, 0.0, level

    def edges_since(self, noted: int) -> list[tuple[int, str]]:
        """Return time and wire of every edge after so many were noted, the oldest first."""
        return list(self._latest)[-(self.noted - noted) :] if self.noted > noted else []

    def count(self, tag: str) -> int:
        """Return how many edges a wire had in the last minute."""
        return sum(1 for _ in self.stretches(tag)) - 1
