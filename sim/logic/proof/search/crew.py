"""Shares a layer of the search between two processes.

The second process is forked at the first large layer, so it has the model and the tables as they
are then. Two things lie in memory that both see: the map of the states that have been met, and the
layer. Only the first process writes there. It takes pieces of the layer from the front and the
second takes them from the back, until they meet. The pieces become smaller, so that both end at
about the same time. Each keeps the effects that it finds in its own tables. Where a process cannot
be forked, the first does all the work.
"""

import multiprocessing
import signal
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from mmap import mmap
from multiprocessing.connection import Connection
from typing import TYPE_CHECKING, Final

import numpy as np

from sim.logic.proof.search.arrays import Numbers
from sim.logic.proof.search.judge import Breach

if TYPE_CHECKING:
    from multiprocessing.context import ForkContext  # Windows has none

ENOUGH_TO_SHARE: Final = 10_000  # states of a layer
SHARE: Final = 3  # a piece is one of so many of what is left
SMALLEST_PIECE: Final = 6_000  # states
MOST_AT_ONCE: Final = 1 << 22  # states; of a larger layer one part after the other is shared


@dataclass(frozen=True, slots=True)
class Work:
    """What came of some states."""

    edges: int
    fresh: Numbers  # states that were met for the first time, each once and in order
    marked: bool  # as met, where both processes see it
    breaches: list[Breach]
    unknown: dict[int, set[int]]  # codes that have no digit, by part


Do = Callable[[Numbers], Work]
Layer = Callable[[Numbers], Iterator[Work]]


class _Pieces:
    """States that both processes take pieces from."""

    def __init__(self, context: "ForkContext") -> None:
        self._states: Numbers = np.frombuffer(mmap(-1, 8 * MOST_AT_ONCE), dtype=np.int64)
        self._ends = context.Array("q", 2)  # of what nobody has taken

    def fill(self, states: Numbers) -> None:
        """Put states where both see them."""
        self._states[: states.size] = states
        self._ends[:] = [0, states.size]

    def taken(self, *, front: bool) -> Iterator[Numbers]:
        """Take pieces until none is left."""
        while True:
            with self._ends.get_lock():
                begin, end = self._ends[:]
                piece = min(end - begin, max((end - begin) // SHARE, SMALLEST_PIECE))
                self._ends[:] = [begin + piece, end] if front else [begin, end - piece]
            if not piece:
                return
            yield self._states[begin : begin + piece] if front else self._states[end - piece : end]


@contextmanager
def crew(own: Do, other: Do, *, alone: bool) -> Iterator[Layer]:
    """Yield a function that takes a layer's states and yields what came of them.

    Args:
        own: What this process does with states.
        other: What the second process does with them; it must not write what both see.
        alone: Fork no second process.
    """
    if alone or "fork" not in multiprocessing.get_all_start_methods():
        yield lambda layer: iter((own(layer),))
        return
    context = multiprocessing.get_context("fork")
    pieces = _Pieces(context)
    near, far = context.Pipe()
    second = context.Process(target=_serve, args=(far, near, other, pieces), daemon=True)

    def shared(layer: Numbers) -> Iterator[Work]:
        if layer.size < ENOUGH_TO_SHARE:
            yield own(layer)
            return
        if second.pid is None:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore", DeprecationWarning)  # threads only draw progress
                second.start()
            far.close()
        for begin in range(0, layer.size, MOST_AT_ONCE):
            pieces.fill(layer[begin : begin + MOST_AT_ONCE])
            near.send(None)
            yield from map(own, pieces.taken(front=True))
            yield from _answer(near)

    try:
        yield shared
    finally:
        near.close()
        far.close()
        if second.pid is not None:
            second.join()


def _answer(near: Connection) -> list[Work]:
    answer = near.recv()
    if isinstance(answer, BaseException):
        raise answer
    assert isinstance(answer, list)
    return answer


def _serve(far: Connection, near: Connection, do: Do, pieces: _Pieces) -> None:
    """Work on every layer that is told of until the other end is closed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # who interrupts the first ends this one too
    near.close()
    while True:
        try:
            far.recv()
        except EOFError:
            return
        try:
            far.send([do(states) for states in pieces.taken(front=False)])
        except BrokenPipeError:
            return  # the first has given up meanwhile
        except Exception as fault:  # noqa: BLE001 - it is raised where the work was asked for
            far.send(fault)
