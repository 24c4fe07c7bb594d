"""Two processes on one layer of the search, piece by piece.

The second process is forked at the first layer that is large, so it knows the model and what has
been found out till then. Both see, in memory that they share, which states have been met and which
states the layer has; only the first writes there. One takes pieces from the front and the other
from the back until they meet, smaller and smaller ones, so that they end together. Each puts the
effects that it finds into tables of its own. Where a process cannot be forked, one works alone.
"""

import multiprocessing
import signal
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from mmap import mmap
from multiprocessing.connection import Connection
from typing import Any, Final

import numpy as np

from sim.logic.proof.judge import Breach

ENOUGH_TO_SHARE: Final = 10_000  # states of a layer
SHARE: Final = 3  # a piece is one of so many of what is left
SMALLEST_PIECE: Final = 20_000  # states
MOST_AT_ONCE: Final = 1 << 22  # states; of a larger layer one part after the other is shared


@dataclass(frozen=True, slots=True)
class Work:
    """What came of some states."""

    edges: int
    fresh: Any  # states that were met for the first time, each once and in order
    marked: bool  # as met, where both processes see it
    breaches: list[Breach]
    unknown: dict[int, set[int]]  # codes that have no digit, by part


Do = Callable[[Any], Work]
Layer = Callable[[Any], Iterator[Work]]


class _Pieces:
    """States that both processes take pieces from."""

    def __init__(self, context: Any) -> None:
        self._states = np.frombuffer(mmap(-1, 8 * MOST_AT_ONCE), dtype=np.int64)
        self._ends = context.Array("q", 2)  # of what nobody has taken

    def fill(self, states: Any) -> None:
        """Put states where both see them."""
        self._states[: states.size] = states
        self._ends[:] = [0, states.size]

    def taken(self, *, front: bool) -> Iterator[Any]:
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
    """Give what a layer's states are to be given to; it yields what came of them.

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
    here, there = context.Pipe()
    second = context.Process(target=_serve, args=(there, here, other, pieces), daemon=True)

    def shared(layer: Any) -> Iterator[Work]:
        if layer.size < ENOUGH_TO_SHARE:
            yield own(layer)
            return
        if second.pid is None:
            with warnings.catch_warnings():
                warnings.simplefilter("ignore", DeprecationWarning)  # threads only draw progress
                second.start()
            there.close()
        for begin in range(0, layer.size, MOST_AT_ONCE):
            pieces.fill(layer[begin : begin + MOST_AT_ONCE])
            here.send(None)
            yield from map(own, pieces.taken(front=True))
            yield from _answer(here)

    try:
        yield shared
    finally:
        here.close()
        there.close()
        if second.pid is not None:
            second.join()


def _answer(here: Connection) -> list[Work]:
    answer = here.recv()
    if isinstance(answer, BaseException):
        raise answer
    assert isinstance(answer, list)
    return answer


def _serve(there: Connection, here: Connection, do: Do, pieces: _Pieces) -> None:
    """Work on every layer that is told of until the other end is closed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # who interrupts the first ends this one too
    here.close()
    while True:
        try:
            there.recv()
        except EOFError:
            return
        try:
            there.send([do(states) for states in pieces.taken(front=False)])
        except BrokenPipeError:
            return  # the first has given up meanwhile
        except Exception as fault:  # noqa: BLE001 - it is raised where the work was asked for
            there.send(fault)
