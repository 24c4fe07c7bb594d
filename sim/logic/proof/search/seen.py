"""Which states were met."""

from mmap import mmap

import numpy as np

from sim.logic.proof.search.arrays import Flags, Numbers, sorted_once
from sim.logic.proof.search.packing import Frame


class SeenStates:
    """A set of states: one bit for every number of a frame."""

    def __init__(self, frame: Frame) -> None:
        shared = mmap(-1, frame.total // 8 + 1)  # a forked process sees what is put in
        self._bits = np.frombuffer(shared, dtype=np.uint8)

    def has(self, numbers: Numbers) -> Flags:
        """Return which of the numbers are in."""
        bits = self._bits[numbers >> 3] >> (numbers & 7).astype(np.uint8)
        return np.asarray(bits & 1, dtype=bool)

    def new(self, numbers: Numbers) -> Numbers:
        """Return the numbers that are not yet in, each once and in order."""
        return sorted_once(numbers[~self.has(numbers)])

    def add(self, numbers: Numbers) -> Numbers:
        """Return the numbers that were not yet in, each once and in order, and put them in."""
        new = self.new(numbers)
        if new.size:
            np.bitwise_or.at(self._bits, new >> 3, (1 << (new & 7)).astype(np.uint8))
        return new
