"""The bench of a session: wires held at a value, jumpers over interlocks; in practice and lessons only.

Elsewhere it is refused, and the attempt counts as an unsafe act.

Never here: what a force or a jumper does to the saw (see `logic.bench.force`).
"""

from collections.abc import Callable
from typing import Final

from sim.logic.bench import force as bench
from sim.records.acts import Forced, Jumpered
from sim.saw import Saw
from sim.session.going import Going
from sim.session.kept import told
from sim.session.kept.deeds import Answer
from sim.session.kept.heard import EventKind, Heard
from sim.session.known import wire_called
from sim.words.message import Message

MAY_MEDDLE: Final = ("practice", "lesson")


class ControlBench:
    """What is forced and jumpered in one session.

    Args:
        saw: The machine.
        going: The session under way.
        heard: Where it is told.
        mode: Of the scenario.
    """

    def __init__(self, saw: Saw, going: Going, heard: Heard, mode: str) -> None:
        self._saw = saw
        self._going = going
        self._heard = heard
        self._allowed = mode in MAY_MEDDLE

    @property
    def banner(self) -> Message:
        """What must be said for as long as a force or a jumper is in; nothing when none is."""
        return bench.banner(self._saw)

    def force(self, tag: str, value: bool | None) -> Answer:
        """Hold a wire at a value, or let it go with None.

        Raises:
            CommandError: There is no such wire.
        """
        wire_called(tag)
        if self._going.stands():
            return told.STANDS_STILL
        act = Forced(self._going.now_us, tag, value)
        return self._do(act, told.FORCING(tag=tag), lambda: bench.force(self._saw, tag, value))

    def jumper(self, name: str, on: bool = True) -> Answer:
        """Put a jumper over an interlock, or take it out.

        Args:
            name: A number as I4, an action and a device as `head.lower B33`, or one row's name.
            on: Whether it goes in.

        Raises:
            CommandError: No interlock has that name.
        """
        bench.rows_named(name)
        if self._going.stands():
            return told.STANDS_STILL
        act, what = Jumpered(self._going.now_us, name, on), told.BYPASSING(interlock=name)
        return self._do(act, what, lambda: bench.jumper(self._saw, name, on=on))

    def _do(self, act: Forced | Jumpered, what: Message, does: Callable[[], Message]) -> Answer:
        self._going.begin(act)
        said = does() if self._allowed else told.MEDDLING_REFUSED(what=what)
        self._heard.tell(EventKind.ACT if self._allowed else EventKind.UNSAFE, said)
        return self._going.answered(act, self._allowed, said)
