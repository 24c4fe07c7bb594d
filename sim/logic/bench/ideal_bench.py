"""The live controller on an image, with an ideal plant: whatever is driven arrives, and its switches say so.

Never here: a real plant, and time.
"""

from collections.abc import Iterator
from typing import Final

from sim.control.actions import PARTS
from sim.control.controller import Controller
from sim.control.interlocks import Image
from sim.control.switches import ALREADY, SENSOR_EVENTS
from sim.control.table import TABLES, StateTable
from sim.kernel.clock import Clock
from sim.logic.bench.way import BenchAct
from sim.saw import Saw
from sim.signals import BY_TAG, INPUTS, NORMALLY_CLOSED, Bus, Source

_SHOWN: Final = ("supply", "mode", *PARTS, "job")
_MOST_ROUNDS: Final = 60  # of arrivals after one act
_SENSORS: Final = tuple(row.tag for row in BY_TAG.values() if row.source is Source.SENSOR)
_TABLE_OF: Final = {table.name: table for table in TABLES}


class _PlacedMachine:
    """A machine of the table that can be put in any state."""

    def __init__(self, table: StateTable, state: str) -> None:
        self.table = table
        self.fired = 0
        self._state = state
        self._to = {(row.state, row.event): row.to for row in table.rows}

    @property
    def state(self) -> str:
        """The present state."""
        return self._state

    def takes(self, event: str) -> bool:
        """Return whether the present state has a row for the event."""
        return (self._state, event) in self._to

    def fire(self, event: str) -> bool:
        """Make the step if there is a row for it; return whether there was."""
        if not self.takes(event):
            return False
        self._state = self._to[(self._state, event)]
        self.fired += 1
        return True


class IdealBench:
    """The live controller on an image, with a plant where everything arrives."""

    def __init__(self, image: Image, counters: tuple[int, int, int, int]) -> None:
        self.bus = Bus()
        self.counters = counters
        for tag in INPUTS:
            self.bus.drive(tag, bool(image[tag]))
        self.bus.settle()
        self.controller = Controller(Clock(), self.bus)
        self.controller.image.update(image)
        for machine, table in _TABLE_OF.items():
            self.controller.machines[machine] = _PlacedMachine(table, str(image[machine]))
        job = self.controller.job
        job.wanted, job.cut, job.strokes, job.stroke = counters
        self._accepted = False
        self.controller.on_decision(self._decided)

    @classmethod
    def of(cls, saw: Saw) -> "IdealBench":
        """Return a bench that stands where a saw stands."""
        job = saw.controller.job
        bench = cls(saw.controller.image, (job.wanted, job.cut, job.strokes, job.stroke))
        bench.controller.bypassed = set(saw.controller.bypassed)
        return bench

    def copy(self) -> "IdealBench":
        """Return another that stands in the same place."""
        job = self.controller.job
        other = IdealBench(self.controller.image, (job.wanted, job.cut, job.strokes, job.stroke))
        other.controller.bypassed = self.controller.bypassed
        return other

    def key(self) -> tuple[object, ...]:
        """Return what tells two places apart."""
        image = self.controller.image
        return tuple(image[name] for name in sorted(image))

    def shows(self, before: "IdealBench") -> tuple[tuple[str, object], ...]:
        """Return the states of the machines that have a plant, and the switches that changed."""
        now, was = self.controller.image, before.controller.image
        switches = [tag for tag in _SENSORS if now[tag] != was[tag]]
        return tuple((name, now[name]) for name in (*_SHOWN, *switches))

    def taken(self, act: BenchAct) -> bool:
        """Do an act; return whether the controller accepted it."""
        self.do(act)
        return self._accepted

    def do(self, act: BenchAct) -> None:
        """Do an act, and let everything arrive that it set moving."""
        for tag, value in act.edges:
            self._drive(tag, value)
        if act.verb == "turn":
            self.controller.take_mode()
        if act.verb == "hold":
            self._arrive()
            ((tag, _),) = act.edges
            self._drive(tag, tag in NORMALLY_CLOSED)
        self._arrive()

    def _decided(self, decision: object) -> None:
        self._accepted = bool(getattr(decision, "accepted", False))

    def _drive(self, tag: str, value: bool) -> None:
        self.bus.drive(tag, value)
        self.bus.settle()

    def _arrive(self) -> None:
        if self.controller.image["band"] not in ("STARTING", "RUNNING"):
            self._drive("B2", False)
            self._drive("B1", False)
        for _ in range(_MOST_ROUNDS):
            moving = [
                (machine, end)
                for (machine, state), end in ALREADY.items()
                if self.controller.image[machine] == state
            ]
            if not moving or self.controller.image["job"] == "EXECUTE":
                return
            for machine, (tag, value, _event) in moving:
                for other, seen in _on_the_way(machine, tag):
                    self._drive(other, seen)
                self._drive(tag, value)


def _on_the_way(machine: str, end: str) -> Iterator[tuple[str, bool]]:
    """Yield what the other switches of a machine show before its end switch does."""
    if machine == "band":
        yield ("B1", True) if end == "B2" else ("B2", False)
        return
    for (tag, rises), (owner, _event) in SENSOR_EVENTS.items():
        if owner == machine and tag != end and rises:
            yield tag, False
