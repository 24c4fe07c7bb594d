"""Ends the program when the system asks it to: between two acts and never within one.

A closed terminal, a shutdown and Ctrl-C come as signals. Within an act they wait, so that the record has
its closing line, and that line tells a state which the acts lead to. Whoever asks the same a second time
does not wait, and the record then reads as cut; but a terminal that goes may say so more than once.

Never here: what the closing line says.
"""

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Final, NoReturn

ENDS: Final = tuple(
    getattr(signal, name)
    for name in ("SIGINT", "SIGTERM", "SIGHUP", "SIGBREAK")
    if hasattr(signal, name)
)
_IMPATIENT: Final = (signal.SIGINT, signal.SIGTERM)
_AS_SHELLS_HAVE_IT: Final = 128  # and the signal's number: the exit code


class Ended(SystemExit):
    """The system has asked this program to end, other than by Ctrl-C, which is a KeyboardInterrupt.

    Args:
        number: Of the signal.
        torn: It was asked twice, within an act: there is no state that a closing line could tell.
    """

    def __init__(self, number: int, *, torn: bool = False) -> None:
        self.exit_code = _AS_SHELLS_HAVE_IT + number
        super().__init__(self.exit_code)
        self.torn = torn


class _Asked:
    """What was asked for while it had to wait."""

    within = 0  # acts that are under way
    number = 0  # of the signal that waits


def _take(number: int, _frame: FrameType | None) -> None:
    if not _Asked.within:
        _end(number)
    if not _Asked.number:
        _Asked.number = number
    elif number == _Asked.number and number in _IMPATIENT:
        raise Ended(number, torn=True)


def _end(number: int) -> NoReturn:
    if number == signal.SIGINT:
        raise KeyboardInterrupt
    raise Ended(number)


@contextmanager
def listening() -> Iterator[None]:
    """Take the signals by which a program is asked to end; before and after they do what they did."""
    before = {}
    try:
        for number in ENDS:
            if signal.getsignal(number) is not signal.SIG_IGN:  # as nohup has it
                before[number] = signal.signal(number, _take)
    except ValueError:  # not the main thread, where no signal comes
        before.clear()
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


@contextmanager
def whole() -> Iterator[None]:
    """Have signals wait until what is within is done; then the program ends."""
    _Asked.within += 1
    try:
        yield
    except Ended:
        _Asked.number = 0
        raise
    finally:
        _Asked.within -= 1
        if not _Asked.within and _Asked.number:
            number, _Asked.number = _Asked.number, 0
            _end(number)


def asked() -> bool:
    """Return whether a signal waits."""
    return bool(_Asked.number)
