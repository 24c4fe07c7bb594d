"""What changed and when: every wire, every machine's state and every latch of one saw.

Never here: a file format (see `vcd`). It listens and decides nothing: a saw with a trace on it does
the same as one without.
"""

import sys
from collections import deque
from typing import Final, NamedTuple, Protocol

from sim.control.controller import Controller
from sim.control.table import TABLES
from sim.kernel.clock import Clock
from sim.signals import SIGNALS, Bus, Direction

Value = bool | str

# What the controller keeps besides signals and states.
_LATELY: Final = 20_000  # changes, of some five hours of a running job
KEPT: Final = ("latch.deviation", "latch.trip_line")


class Change(NamedTuple):
    """Something has become something."""

    time_us: int
    tag: str  # a signal's tag, a machine's name, or one of KEPT
    value: Value


class Traced(Protocol):
    """What a trace is put on: a saw, or a controller alone on a bench."""

    @property
    def clock(self) -> Clock:
        """Its clock."""

    @property
    def bus(self) -> Bus:
        """Its wires."""

    @property
    def controller(self) -> Controller:
        """Its controller."""


class Trace:
    """What has changed on a saw since the trace was put on it, or lately where that is much.

    `first` is how everything was before the first of the changes.
    """

    def __init__(self, saw: Traced) -> None:
        self._saw = saw
        self._most = _LATELY
        self.begun_us = saw.clock.now_us
        self.changes: deque[Change] = deque()
        self._last: dict[str, Change] = {}
        controller = saw.controller
        self.first: dict[str, Value] = {
            **{row.tag: saw.bus.seen[row.tag] for row in SIGNALS},
            **{table.name: controller.machines[table.name].state for table in TABLES},
            **{name: _plain(controller.image[name]) for name in KEPT},
        }
        controller.on_change(lambda subject, value: self._note(subject, _plain(value)))
        for direction in Direction:
            saw.bus.listen(direction, self._note)

    def last_change(self, tag: str) -> Change | None:
        """Return the last change of a signal, machine or latch; None when none was."""
        return self._last.get(tag)

    def keep_all(self) -> None:
        """Keep every change from now on, as for a file of them."""
        self._most = sys.maxsize

    def _note(self, tag: str, value: Value) -> None:
        if len(self.changes) >= self._most:
            gone = self.changes.popleft()
            self.first[gone.tag], self.begun_us = gone.value, gone.time_us
        change = Change(self._saw.clock.now_us, tag, value)
        self.changes.append(change)
        self._last[tag] = change


def _plain(value: object) -> Value:
    return value if isinstance(value, bool) else str(value)
