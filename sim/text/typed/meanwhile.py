"""What comes while a line is typed at a terminal is said at once, not after the line.

`input` gives no turn to anybody, so a timer of the system does: its signal is taken between two key
strokes, in the same thread, and never within an act. Where a system has no such timer, what has come
is said with the next line, as in a pipe.

Never here: what can come (see `session.order_lines`).
"""

import contextlib
import signal
import sys
from collections.abc import Callable, Iterator
from types import FrameType
from typing import Final

from sim.text.page import Part

EVERY_S: Final = 0.5  # between two looks


class Meanwhile:
    """Whoever has something to say while a line is awaited; nobody at first."""

    def __init__(self) -> None:
        self.come: Callable[[], tuple[Part, ...]] = tuple
        self.say: Callable[..., None] = lambda *_parts: None

    @contextlib.contextmanager
    def awaiting(self, prompt: str) -> Iterator[None]:
        """Look again and again until the line is there.

        Args:
            prompt: Stands before the line, and is written anew behind what was said, with what is typed so far.
        """
        if not hasattr(signal, "setitimer"):
            yield
            return

        def look(_number: int, _frame: FrameType | None) -> None:
            if said := self.come():
                sys.stdout.write("\n")
                self.say(*said)
                sys.stdout.write(prompt + _typed_so_far())
                sys.stdout.flush()

        try:
            before = signal.signal(signal.SIGALRM, look)
        except ValueError:  # not the main thread, where no signal comes
            yield
            return
        signal.setitimer(signal.ITIMER_REAL, EVERY_S, EVERY_S)
        try:
            yield
        finally:
            signal.setitimer(signal.ITIMER_REAL, 0.0)
            signal.signal(signal.SIGALRM, before)


def _typed_so_far() -> str:
    with contextlib.suppress(ImportError):
        import readline  # noqa: PLC0415 - there is none on some systems

        return readline.get_line_buffer()
    return ""
