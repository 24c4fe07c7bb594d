"""Two processes on one layer of the search, piece by piece.

The second process is forked when the search begins, so it knows the model, and it sees which states
have been met through memory that both share; only the first writes there. Each puts the effects that
it finds into tables of its own. Where a process cannot be forked, one works alone.

Imports `judge`.
"""

import multiprocessing
import signal
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Any, Final

from sim.logic.judge import Breach

ENOUGH_TO_SHARE: Final = 40_000  # states of a layer
PIECES: Final = 12  # of a layer


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
    here, there = context.Pipe()
    second = context.Process(target=_serve, args=(there, here, other), daemon=True)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # other threads only draw progress
        second.start()
    there.close()

    def shared(layer: Any) -> Iterator[Work]:
        if layer.size < ENOUGH_TO_SHARE:
            yield own(layer)
            return
        # One takes pieces from the front and the other from the back, until they meet.
        piece = layer.size // PIECES + 1
        front, back = 0, layer.size
        busy = False
        while front < back or busy:
            if front < back and not busy:
                here.send(layer[max(front, back - piece) : back])
                back, busy = max(front, back - piece), True
            if front < back:
                yield own(layer[front : min(front + piece, back)])
                front = min(front + piece, back)
            if busy and (here.poll() or front >= back):
                yield _answer(here)
                busy = False

    try:
        yield shared
    finally:
        here.close()
        second.join()


def _answer(here: Connection) -> Work:
    answer = here.recv()
    if isinstance(answer, BaseException):
        raise answer
    assert isinstance(answer, Work)
    return answer


def _serve(there: Connection, here: Connection, do: Do) -> None:
    """Work on what is sent until the other end is closed."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # who interrupts the first ends this one too
    here.close()
    while True:
        try:
            states = there.recv()
        except EOFError:
            return
        try:
            there.send(do(states))
        except BrokenPipeError:
            return  # the first has given up meanwhile
        except Exception as fault:  # noqa: BLE001 - it is raised where the work was asked for
            there.send(fault)
