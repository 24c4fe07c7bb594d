"""Which states were met, and from which of them a move need not be made again."""

from mmap import mmap

import numpy as np

from sim.logic.proof.search.arrays import Flags, Numbers, Rows, sorted_once
from sim.logic.proof.search.effects import EffectTable
from sim.logic.proof.search.packing import JOB_PART, Frame


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


class Spared:
    """Picks, of states from which some moves lead to the same, the first.

    States that differ in nothing but the job's part lead to the same states by moves with the same
    residue (see `residue`), so the first of them is enough.
    """

    def __init__(self, frame: Frame) -> None:
        self._stride = frame.strides[JOB_PART]
        self._done: dict[tuple[int, ...], Flags] = {}
        self.moves = 0  # that were not made again

    def first(self, table: EffectTable, numbers: Numbers) -> Rows:
        """Return the rows of those numbers that are the first such; all are of one job's digit."""
        assert table.residue is not None
        if table.residue not in self._done:
            self._done[table.residue] = np.zeros(self._stride, dtype=bool)
        done = self._done[table.residue]
        places = numbers % self._stride
        which = np.flatnonzero(~done[places])
        done[places] = True
        self.moves += (numbers.size - which.size) * len(table.moves)
        return which
