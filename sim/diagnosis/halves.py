"""Does the same with many things, one half of them in a second process where one can be forked.

The second process is a copy of this one as it stands, works on its half and ends. What it could not
do, this one does. A process that is itself one of several does all of its work alone, and so does
one on a system where a copy with a window open is not safe.
"""

import multiprocessing
import os
import signal
import sys
import warnings
from collections.abc import Callable, Sequence
from multiprocessing.connection import Connection
from typing import Final, TypeVar

from sim.kernel.clock import Allowance

_WORTH_IT: Final = 40  # things; for fewer a second process costs more than it brings

Item = TypeVar("Item")
Result = TypeVar("Result")


def in_halves(
    work: Callable[[Item], Result], items: Sequence[Item], allowance: Allowance | None = None
) -> list[Result]:
    """Return what `work` makes of each item, in their order.

    Args:
        work: Gives the same for an item wherever and after whatever it is called.
        items: Of what is done first, the first.
        allowance: That `work` spends, if any; what the second process spends of it is spent here too.

    Raises:
        EffortError: The allowance was not enough.
    """
    if len(items) < _WORTH_IT or not _may_fork():
        return [work(item) for item in items]
    mine, others = items[::2], items[1::2]
    context = multiprocessing.get_context("fork")
    near, far = context.Pipe(duplex=False)
    second = context.Process(target=_serve, args=(far, work, others, allowance), daemon=True)
    try:
        with warnings.catch_warnings():
            # Other threads may be there; none holds what the copy uses.
            warnings.simplefilter("ignore", DeprecationWarning)
            second.start()
    except OSError:  # no room for another process
        near.close()
        return [work(item) for item in items]
    finally:
        far.close()
    try:
        first = [work(item) for item in mine]
        theirs: list[Result] | None = _answer(near, allowance)
    finally:
        near.close()
        second.kill()
        second.join()
    if theirs is None:
        theirs = [work(item) for item in others]
    both: list[Result] = [None] * len(items)  # type: ignore[list-item]
    both[::2], both[1::2] = first, theirs
    return both


def _may_fork() -> bool:
    return (
        sys.platform == "linux"
        and len(os.sched_getaffinity(0)) > 1
        and multiprocessing.parent_process() is None
    )


def _answer(near: Connection, allowance: Allowance | None) -> list[Result] | None:
    """Return what the second process made, None where it came to nothing."""
    try:
        made, spent = near.recv()
    except (EOFError, OSError):  # it ended before it said anything, or while it did
        return None
    if allowance is not None:
        allowance.spend(spent)
    return made  # type: ignore[no-any-return]


def _serve(
    far: Connection,
    work: Callable[[Item], Result],
    items: Sequence[Item],
    allowance: Allowance | None,
) -> None:
    for each in (signal.SIGINT, signal.SIGTERM, signal.SIGHUP):
        signal.signal(each, signal.SIG_IGN)  # the first process ends this one
    left = allowance.left if allowance is not None else 0
    try:
        made = [work(item) for item in items]
        far.send((made, left - allowance.left if allowance is not None else 0))
    except Exception:  # noqa: BLE001 - the first process comes upon it again
        far.close()
