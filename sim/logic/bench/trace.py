"""What changed and when: every wire at both its ends, every machine's state and every latch of one saw.

Never here: a file format (see `vcd`). It listens and decides nothing: a saw with a trace on it does
the same as one without.
"""

import sys
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from enum import StrEnum
from itertools import islice
from typing import Final, NamedTuple, Protocol

from sim.control.controller import Controller
from sim.control.table import TABLES
from sim.kernel.clock import Clock
from sim.signals import OUTPUTS, SIGNALS, Bus, Direction

Value = bool | str

# What the controller keeps besides signals and states.
_LATELY: Final = 20_000  # changes, of some five hours of a running job
KEPT: Final = ("latch.deviation", "latch.trip_line")


class WireEnd(StrEnum):
    """An end of a wire that is not what `changes` tells of it."""

    DEVICE = "device"  # of an input: what the switch or sensor puts on it; the controller sees its other end
    CARD = "card"  # of an output: what the card puts on it
    COIL = "coil"  # of an output: whether its coil has current, which wants more than the card


_NEAR: Final = {
    row.tag: f"{row.tag}.{WireEnd.DEVICE if row.direction is Direction.INPUT else WireEnd.CARD}"
    for row in SIGNALS
}
_COIL: Final = {tag: f"{tag}.{WireEnd.COIL}" for tag in OUTPUTS}


class Change(NamedTuple):
    """Something has become something."""

    time_us: int
    tag: str  # a signal's tag, a machine's name, or one of KEPT
    value: Value


_Noted = tuple[int, str, Value]  # the same


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

    `first` is how everything was before the first of the changes. Where all is kept, `ends` tells what is at
    the other end of the wires, by tag and end as in `B11.device`, from `first_ends` on.

    Args:
        saw: What it is put on.
        fed: Whether an output that is on brings its coil current; with a controller alone it does.
    """

    def __init__(self, saw: Traced, fed: Callable[[str], bool] = lambda _tag: True) -> None:
        self._saw = saw
        self._clock = saw.clock
        self._fed = fed
        self._most = _LATELY
        self.begun_us = saw.clock.now_us
        # Each as a bare tuple: they are noted most of all, and read seldom.
        self._noted: deque[_Noted] = deque()
        self._last: dict[str, _Noted] = {}  # by tag, among those that were read
        self._read = self._forgotten = 0  # how many of all that were ever noted
        controller = saw.controller
        self.first: dict[str, Value] = {
            **{row.tag: saw.bus.seen[row.tag] for row in SIGNALS},
            **{table.name: controller.machines[table.name].state for table in TABLES},
            **{name: _plain(controller.image[name]) for name in KEPT},
        }
        note = self._noting()
        controller.on_change(note)
        for direction in Direction:
            saw.bus.listen(direction, note)
        self._ends_now: dict[str, Value] = {}
        # Outputs at whose coil 24 V would be, if their card is fed.
        self._arrives: dict[str, None] = {}
        self.ends: deque[Change] = deque()
        self.first_ends: dict[str, Value] = {}

    @property
    def changes(self) -> Sequence[Change]:
        """All that is kept, in order."""
        return tuple(map(Change._make, self._noted))

    def latest(self) -> Iterator[Change]:
        """Yield what is kept, the last first."""
        return map(Change._make, reversed(self._noted))

    def last_change(self, tag: str) -> Change | None:
        """Return the last change of a signal, machine or latch; None when none was."""
        unread = self._forgotten + len(self._noted) - self._read
        fresh: dict[str, _Noted] = {}
        for change in islice(reversed(self._noted), unread):
            fresh.setdefault(change[1], change)
        self._last |= fresh
        self._read += unread
        noted = self._last.get(tag)
        return None if noted is None else Change._make(noted)

    def keep_all(self) -> None:
        """Keep every change from now on, those at the other ends of the wires too, as for a file of them."""
        self._most = sys.maxsize
        for row in SIGNALS:
            self._look(row.tag)
        self.first_ends = dict(self._ends_now)
        self.ends.clear()
        self._saw.bus.watch(self._look)

    def _look(self, tag: str) -> None:
        """Note what is other at the near end of a wire, and which coils have current now."""
        self._note_end(_NEAR[tag], self._saw.bus.near(tag))
        if tag in _COIL:
            if self._saw.bus.seen[tag]:
                self._arrives[tag] = None
            else:
                self._arrives.pop(tag, None)
                self._note_end(_COIL[tag], value=False)
        for each in self._arrives:
            self._note_end(_COIL[each], self._fed(each))

    def _note_end(self, name: str, value: bool) -> None:
        if self._ends_now.get(name) is value:
            return
        self._ends_now[name] = value
        self.ends.append(Change(self._saw.clock.now_us, name, value))

    def _noting(self) -> Callable[[str, Value], None]:
        """Return what is told of every change."""
        clock, noted = self._clock, self._noted

        def note(tag: str, value: Value) -> None:
            noted.append((clock.now_us, tag, value))
            if len(noted) > self._most:
                self._forget()

        return note

    def _forget(self) -> None:
        change = at_us, tag, value = self._noted.popleft()
        self._forgotten += 1
        if self._read < self._forgotten:
            self._last[tag], self._read = change, self._forgotten
        self.first[tag] = value
        self.begun_us = max(self.begun_us, at_us)


def _plain(value: object) -> Value:
    return value if isinstance(value, bool) else str(value)
