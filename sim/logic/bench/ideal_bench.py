"""The live controller on an image, with an ideal plant: whatever is driven arrives, and its switches say so.

One bench is put into one place after another: a place is an image and the counters of the job.

Never here: a real plant, and time.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from sim.control.actions import BY_NAME, PARTS
from sim.control.controller import Controller
from sim.control.cycle import MOVING
from sim.control.decision import Decision
from sim.control.interlocks import THE_ROWS, Image, Rows
from sim.control.job import ACTING
from sim.control.outputs import DRIVEN
from sim.control.switches import ALREADY, SENSOR_EVENTS
from sim.control.table import TABLES, StateTable
from sim.kernel.clock import Appointment, Clock
from sim.logic.bench.way import BenchAct
from sim.saw import Saw
from sim.signals import BY_TAG, MODE_SWITCH, NORMALLY_CLOSED, Bus, Direction, Listener, Source

_SHOWN: Final = ("supply", "mode", *PARTS, "job")
_MOST_ROUNDS: Final = 60  # of arrivals after one act
_SENSORS: Final = tuple(row.tag for row in BY_TAG.values() if row.source is Source.SENSOR)
_TABLE_OF: Final = {table.name: table for table in TABLES}
_LED_TO: Final = {
    table.name: {(row.state, row.event): row.to for row in table.rows} for table in TABLES
}
_ON_ITS_WAY: Final = (*ACTING, "HOLDING", "COMPLETING", "STOPPING", "ABORTING", "EXECUTE")

# The safety relay is in from a reset until one of these opens.
_HOLD_THE_RELAY: Final = ("Q0", "S1", "S9")
_RESET_KEY: Final = BY_NAME["supply.reset"].tag
_AWAY: Final = ("set", "load")  # done away from the console, with no hand left on a key
_KEYS: Final = tuple(row.tag for row in BY_TAG.values() if row.source is Source.KEY)
_ENDS_A_STEP: Final = ("HOLDING", "COMPLETING")


class _PlacedMachine:
    """A machine of the table that can be put in any state."""

    def __init__(self, table: StateTable, state: str) -> None:
        self.table = table
        self.fired = 0
        self.now = state
        self._to = _LED_TO[table.name]

    @property
    def state(self) -> str:
        """The present state."""
        return self.now

    def takes(self, event: str) -> bool:
        """Return whether the present state has a row for the event."""
        return (self.now, event) in self._to

    def fire(self, event: str) -> bool:
        """Make the step if there is a row for it; return whether there was."""
        to = self._to.get((self.now, event))
        if to is None:
            return False
        self.now = to
        self.fired += 1
        return True


class _Wires(Bus):
    """Wires whose far ends nobody watches but the controller, which is told of inputs at once."""

    def listen(self, direction: Direction, listener: Listener) -> None:
        """Have the controller told of inputs."""
        if direction is Direction.INPUT:
            self.tell = listener

    def drive(self, tag: str, value: bool) -> None:
        """Drive nothing: what an output does is done when parts arrive."""


class _StandingClock(Clock):
    """A clock that never comes to what is due."""

    def after(
        self, delay_us: int, action: Callable[[], None], priority: int = 0, *, slow: bool = False
    ) -> Appointment:
        """Return an appointment that nobody keeps."""
        return Appointment(delay_us, action, slow)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a bench stands: every subject of the image by its order in it, and the job's counters."""

    values: tuple[object, ...]
    counters: tuple[int, int, int, int]
    rests: bool  # the head lies on something, or is held up


class IdealBench:
    """The live controller on an image, with a plant where everything arrives."""

    def __init__(
        self,
        image: Image,
        counters: tuple[int, int, int, int],
        *,
        head_sinks: bool,
        rests: bool,
        rows: Rows = THE_ROWS,
    ) -> None:
        self._wires = _Wires()
        self.head_sinks = head_sinks
        self.sees_a_bar = True  # no force holds the wire that shows one
        self.patient = True  # waits for a step that a job has under way, as a hold ends it
        self.controller = Controller(_StandingClock(), self._wires, rows=rows)
        self._machines = {
            name: _PlacedMachine(table, table.initial) for name, table in _TABLE_OF.items()
        }
        self.controller.machines.update(self._machines)
        self._answer: Decision | None = None  # the last to the act that was done last
        self.controller.on_decision(self._decided)
        self._names = tuple(self.controller.image)
        self.put(Place(tuple(image[name] for name in self._names), counters, rests))

    @classmethod
    def of(cls, saw: Saw) -> "IdealBench":
        """Return a bench that stands where a saw stands."""
        job = saw.controller.job
        counters = (job.wanted, job.cut, job.strokes, job.stroke)
        plant = saw.plant
        sinks = plant.site.machine.head_sinks
        bench = cls(
            saw.controller.image, counters, head_sinks=sinks, rests=plant.head.rests,
            rows=saw.controller.rows,
        )  # fmt: skip
        bench.sees_a_bar = "B53" not in saw.bus.forced
        bench.controller.bypassed = set(saw.controller.bypassed)
        return bench

    # Places -------------------------------------------------------------------------------

    @property
    def image(self) -> Image:
        """What the controller sees."""
        return self.controller.image

    @property
    def place(self) -> Place:
        """Where it stands now."""
        job = self.controller.job
        counters = (job.wanted, job.cut, job.strokes, job.stroke)
        return Place(tuple(self.controller.image.values()), counters, self._rests)

    def put(self, place: Place) -> None:
        """Put it where it stood before, or where a saw stands."""
        controller = self.controller
        controller.image.update(zip(self._names, place.values, strict=True))
        for name, machine in self._machines.items():
            machine.now = str(controller.image[name])
        controller.asked = ""
        job = controller.job
        job.wanted, job.cut, job.strokes, job.stroke = place.counters
        job.waits = ()
        self._rests = place.rests

    def shows(self, before: Place) -> tuple[tuple[str, object], ...]:
        """Return the machines and switches that an act changed, and what they show now.

        A head that sinks takes its time and is not waited for.
        """
        now, was = self.controller.image, dict(zip(self._names, before.values, strict=True))
        changed = [name for name in (*_SHOWN, *_SENSORS) if now[name] != was[name]]
        sinks = self.head_sinks and now["supply"] != "ON"
        return tuple((n, now[n]) for n in changed if not (sinks and n in ("head", "B11")))

    def may(self, act: BenchAct) -> bool:
        """Return whether an act makes sense here: hands set things only where all stands still.

        There is nothing to wait for then; a cut is waited for only while the job runs, and rest not.
        """
        if act.verb == "set":
            return self._still
        if act.verb == "load":
            return self.sees_a_bar and self._still and self._open_for_a_bar
        if act.verb == "wait":
            runs = self.image["job"] == "EXECUTE"
            if not self.patient and self.image["job"] in _ENDS_A_STEP:
                return False
            return runs if act.until is not None else not (runs or self._still)
        return True

    @property
    def _open_for_a_bar(self) -> bool:
        """Whether neither head nor a vise is in the way of a fresh bar."""
        image = self.controller.image
        vises = image["cutting_vise"], image["shuttle_vise"]
        return bool(image["B11"]) and vises == ("RELEASED", "RELEASED")

    @property
    def _still(self) -> bool:
        """Whether nothing moves, the band stands, and no job is on its way."""
        image = self.controller.image
        return not (
            image["B1"]
            or self._sinks
            or image["mode"] == "NONE"
            or image["band"] in (*DRIVEN["band"], "COASTING")
            or image["job"] in _ON_ITS_WAY
            or any(image[part] in moving for part, moving in MOVING.items())
        )

    @property
    def _sinks(self) -> bool:
        """Whether the head is on its way down without power, where it can hit hands."""
        unheld = self.head_sinks and self.image["supply"] != "ON"
        return unheld and not (self._rests or self.image["B12"])

    # Acts ---------------------------------------------------------------------------------

    @property
    def refused(self) -> bool:
        """Whether the controller refused what the last act asked for."""
        return self._answer is not None and not self._answer.accepted

    def takes(self, action: str, act: BenchAct) -> bool:
        """Return whether an action is taken here when it is asked for; doing it moves the bench."""
        if self.controller.blocks(action):
            return False
        self._press(act)
        return self._answer is not None and self._answer.accepted

    def do(self, act: BenchAct) -> None:
        """Do an act; what moves arrives where the act is to wait for it, or for its own part."""
        if act.verb in _AWAY:
            for tag in _KEYS:
                self._drive(tag, BY_TAG[tag].at_rest)
        if act.verb == "load":
            self._draw_key()
        self._press(act)
        if self.image["head"] in MOVING["head"]:
            self._rests = False
        if act.verb == "turn":
            self.controller.take_mode()
            self.controller.job.pursue()
        if act.verb == "hold":
            ((tag, _),) = act.edges
            self._arrive((BY_TAG[tag].key.partition(".")[0],))
            self._drive(tag, tag in NORMALLY_CLOSED)
        if act.verb == "wait":
            self._arrive(PARTS, act.until)
        if act.verb in ("hold", "wait") and self.image["mode"] == "NONE":  # half a second is over
            self.controller.take_mode()
            self.controller.job.pursue()
        if self.head_sinks and self.controller.image["supply"] != "ON":
            self._drive("B11", False)
            self._rests = self._rests or act.verb == "wait"

    def _draw_key(self) -> None:
        """Have the key of the mode switch out and in again: nobody lays a bar in without it in the pocket."""
        stood = [tag for tag in MODE_SWITCH if self.image[tag]]
        for value in (False, True):
            for tag in stood:
                self._drive(tag, value)
            self.controller.take_mode()
            self.controller.job.pursue()

    def _press(self, act: BenchAct) -> None:
        self._answer = None
        for tag, value in act.edges:
            self._drive(tag, value)
        if not all(self.image[tag] for tag in _HOLD_THE_RELAY):
            self._drive("K0", False)
        elif (_RESET_KEY, False) in act.edges:
            self._drive("K0", True)

    def _decided(self, decision: Decision) -> None:
        self._answer = decision

    def _drive(self, tag: str, value: bool) -> None:
        if self.controller.image[tag] != value:
            self._wires.tell(tag, value)

    def _arrive(self, parts: Sequence[str], until: tuple[str, str] | None = None) -> None:
        """Let parts come to where they are driven, and a band that is not driven come to rest.

        A job that runs is left where it is, or is followed until a machine is in some state.
        """
        image = self.controller.image
        for _ in range(_MOST_ROUNDS):
            if "band" in parts and image["band"] not in DRIVEN["band"]:
                self._drive("B2", False)
                self._drive("B1", False)
            moving = [
                (machine, end)
                for (machine, state), end in ALREADY.items()
                if machine in parts and image[machine] == state
            ]
            there = image["job"] == "EXECUTE" if until is None else image[until[0]] == until[1]
            if not moving or there:
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
