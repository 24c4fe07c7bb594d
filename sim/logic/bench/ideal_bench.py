"""The live controller on an image, with an ideal plant: whatever is driven arrives, and its switches say so.

Never here: a real plant, and time.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from sim.control.actions import PARTS
from sim.control.controller import Controller
from sim.control.decision import Decision
from sim.control.interlocks import Image
from sim.control.outputs import DRIVEN
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

    def __init__(
        self, image: Image, counters: tuple[int, int, int, int], *, head_sinks: bool
    ) -> None:
        self.bus = Bus()
        self.head_sinks = head_sinks
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
        self._answer: Decision | None = None  # the last to the act that was done last
        self.controller.on_decision(self._decided)

    @classmethod
    def of(cls, saw: Saw) -> "IdealBench":
        """Return a bench that stands where a saw stands."""
        job = saw.controller.job
        counters = (job.wanted, job.cut, job.strokes, job.stroke)
        bench = cls(saw.controller.image, counters, head_sinks=saw.plant.site.machine.head_sinks)
        bench.controller.bypassed = set(saw.controller.bypassed)
        return bench

    def copy(self) -> "IdealBench":
        """Return another that stands in the same place."""
        job = self.controller.job
        counters = (job.wanted, job.cut, job.strokes, job.stroke)
        other = IdealBench(self.controller.image, counters, head_sinks=self.head_sinks)
        other.controller.bypassed = self.controller.bypassed
        return other

    def key(self) -> tuple[object, ...]:
        """Return what tells two places apart."""
        image = self.controller.image
        return tuple(image[name] for name in sorted(image))

    def shows(self, before: "IdealBench") -> tuple[tuple[str, object], ...]:
        """Return the machines and switches that an act changed, and what they show now.

        A head that sinks takes its time and is not waited for.
        """
        now, was = self.controller.image, before.controller.image
        changed = [name for name in (*_SHOWN, *_SENSORS) if now[name] != was[name]]
        sinks = self.head_sinks and now["supply"] != "ON"
        return tuple((n, now[n]) for n in changed if not (sinks and n in ("head", "B11")))

    @property
    def taken(self) -> bool:
        """Whether the controller accepted what the last act asked for."""
        return self._answer is not None and self._answer.accepted

    @property
    def refused(self) -> bool:
        """Whether the controller refused what the last act asked for."""
        return self._answer is not None and not self._answer.accepted

    def do(self, act: BenchAct) -> None:
        """Do an act; what moves arrives where the act is to wait for it, or for its own part."""
        self._answer = None
        for tag, value in act.edges:
            self._drive(tag, value)
        if act.verb == "turn":
            self.controller.take_mode()
        if act.verb == "hold":
            ((tag, _),) = act.edges
            self._arrive((BY_TAG[tag].key.partition(".")[0],))
            self._drive(tag, tag in NORMALLY_CLOSED)
        if act.verb == "wait":
            self._arrive(PARTS)
        if self.head_sinks and self.controller.image["supply"] != "ON":
            self._drive("B11", False)

    def _decided(self, decision: Decision) -> None:
        self._answer = decision

    def _drive(self, tag: str, value: bool) -> None:
        self.bus.drive(tag, value)
        self.bus.settle()

    def _arrive(self, parts: Sequence[str]) -> None:
        """Let parts come to where they are driven, and a band that is not driven come to rest."""
        image = self.controller.image
        if "band" in parts and image["band"] not in DRIVEN["band"]:
            self._drive("B2", False)
            self._drive("B1", False)
        for _ in range(_MOST_ROUNDS):
            moving = [
                (machine, end)
                for (machine, state), end in ALREADY.items()
                if machine in parts and image[machine] == state
            ]
            if not moving or image["job"] == "EXECUTE":
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
