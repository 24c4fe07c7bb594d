"""Which states were met."""

from mmap import mmap
from typing import Final

import numpy as np

from sim.logic.proof.search.arrays import Flags, Numbers, sorted_once
from sim.logic.proof.search.packing import Frame

# Codes of the first part that have no digit yet; what is never met takes no memory.
_SPARE: Final = 64


class SeenStates:
    """A set of states: one bit for every number of a frame, and for some more."""

    def __init__(self, frame: Frame) -> None:
        self._strides = frame.strides
        most = frame.total + _SPARE * frame.strides[0]
        shared = mmap(-1, most // 8 + 1)  # a forked process sees what is put in
        self._bits = np.frombuffer(shared, dtype=np.uint8)

    def fits(self, frame: Frame) -> bool:
        """Return whether another frame has the same number for every state, and they have a bit."""
        return frame.strides == self._strides and frame.total <= 8 * self._bits.size

    def has(self, numbers: Numbers) -> Flags:
        """Return which of the numbers are in."""
        bits = self._bits.take(numbers >> 3) >> (numbers & 7).astype(np.uint8)
        return np.asarray(bits & 1, dtype=bool)

    def new(self, numbers: Numbers) -> Numbers:
        """Return the numbers that are not yet in, each once and in order."""
        return sorted_once(numbers.compress(~self.has(numbers)))

    def add(self, numbers: Numbers) -> Numbers:
        """Return the numbers that were not yet in, each once and in order, and put them in."""
        new = self.new(numbers)
        if new.size:
            np.bitwise_or.at(self._bits, new >> 3, (1 << (new & 7)).astype(np.uint8))
        return new
