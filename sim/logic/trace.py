"""What changed and when: every wire, every machine's state, every selector and latch of one saw.

Never here: a file format (see `vcd`). It listens and decides nothing: a saw with a trace on it does
the same as one without. Imports `saw`, `control` and `signals`.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from sim.control.actions import STATIONS
from sim.control.machine import Runner
from sim.control.table import TABLES, Table
from sim.saw import Saw
from sim.signals import SIGNALS, Direction

Value = bool | str

# What the controller keeps besides signals and states.
KEPT: Final = (*(f"mode.{station}" for station in STATIONS), "latch.deviation")


@dataclass(frozen=True, slots=True)
class Change:
    """Something has become something."""

    time_us: int
    tag: str  # a signal's tag, a machine's name, or one of KEPT
    value: Value


class _Watched:
    """A machine that tells of every step it makes."""

    def __init__(self, runner: Runner, told: Callable[[str, str], None]) -> None:
        self._runner = runner
        self._told = told
        self.table: Table = runner.table

    @property
    def fired(self) -> int:
        """How many steps it has made."""
        return self._runner.fired

    @fired.setter
    def fired(self, count: int) -> None:
        self._runner.fired = count

    @property
    def state(self) -> str:
        """The present state."""
        return self._runner.state

    def takes(self, event: str) -> bool:
        """Return whether the present state has a row for the event."""
        return self._runner.takes(event)

    def fire(self, event: str) -> bool:
        """Make the step if there is a row for it; return whether there was."""
        stepped = self._runner.fire(event)
        self._told(self.table.name, self._runner.state if stepped else "")
        return stepped


class Trace:
    """Everything that has changed on a saw since the trace was put on it."""

    def __init__(self, saw: Saw) -> None:
        self._saw = saw
        self.begun_us = saw.clock.now_us
        self.changes: list[Change] = []
        self._last: dict[str, Change] = {}
        controller = saw.controller
        self._kept: dict[str, object] = {name: controller.image[name] for name in KEPT}
        self.first: dict[str, Value] = {
            **{row.tag: saw.bus.seen[row.tag] for row in SIGNALS},
            **{table.name: controller.machines[table.name].state for table in TABLES},
            **{name: _plain(value) for name, value in self._kept.items()},
        }
        for name, runner in list(controller.machines.items()):
            controller.machines[name] = _Watched(runner, self._stepped)
        for direction in Direction:
            saw.bus.listen(direction, self._edge)

    def last_change(self, tag: str) -> Change | None:
        """Return the last change of a signal, machine, selector or latch; None when none was."""
        return self._last.get(tag)

    def _edge(self, tag: str, value: bool) -> None:
        self._note(tag, value)
        self._look_at_kept()

    def _stepped(self, machine: str, state: str) -> None:
        if state:
            self._note(machine, state)
        self._look_at_kept()

    def _look_at_kept(self) -> None:
        image = self._saw.controller.image
        for name, before in self._kept.items():
            if image[name] != before:
                self._kept[name] = image[name]
                self._note(name, _plain(image[name]))

    def _note(self, tag: str, value: Value) -> None:
        change = Change(self._saw.clock.now_us, tag, value)
        self.changes.append(change)
        self._last[tag] = change


def _plain(value: object) -> Value:
    return value if isinstance(value, bool) else str(value)
