"""Unfolds the live controller's code into trees, by running it on a memory that asks.

Theory. The controller is deterministic. The first thing that a stretch of its code reads is always
the same, and what it reads next depends on the answer. So the code is run with an empty memory. At
the first reading that has no answer the run is broken off, and repeated once for every possible
answer, until every reading has one. The result is that code, complete, as a decision tree; there is
no second definition of the controller that could differ from it. A step of a machine is not entered
but recorded as a call, and unfolded by itself, since otherwise every tree would contain all others.

The seam. A deed sees the controller as `Live`. What is run is the controller with a few things
replaced: its image by a ledger, its machines by tables walked on that image, the job's counters by
questions, and steps and the job's asking by calls. Its clocks do not run: that a time is over is a
deed. It drives no outputs and notes no reasons; nothing is decided by them.
"""

from collections.abc import Callable, Iterable, Mapping
from itertools import islice
from typing import Final, Protocol, cast

from sim.control.controller import Controller
from sim.control.decision import Decision, Refusal
from sim.control.interlocks import THE_ROWS, Permissive, Reaction, Rows, When
from sim.control.job import Job
from sim.control.table import StateTable
from sim.control.two_hand import TwoHandPair
from sim.kernel.clock import Clock
from sim.logic.proof.ledger import CalledStep, Ledger, Op, Unanswered
from sim.logic.proof.memory import LAST_PIECE, MORE_STROKES, Value
from sim.logic.proof.tree import TOOK, Grove, Step, Tree
from sim.signals import Bus
from sim.words.message import Message

Row = Permissive | Reaction


class Live(Protocol):
    """What of a controller is unfolded, one stretch of code at a time."""

    image: dict[str, Value]

    @property
    def job(self) -> Job:
        """The job, whose `advance` is such a stretch."""

    def take(self, tag: str, value: bool) -> None:
        """Take one edge and what follows from it by the tables."""

    def keep(self) -> None:
        """Halt a motion whose permissive has gone."""

    def take_mode(self) -> None:
        """Take the mode that the switch points to."""

    def latch_deviation(self) -> None:
        """Latch the deviation stop."""

    def end_jog(self) -> None:
        """End a jog of the band."""

    def end_run_on(self) -> None:
        """End the band's running on."""

    def fire(self, machine: str, event: str) -> bool:
        """Make a step in a machine and let follow what follows."""

    def ask(self, action: str, origin: When) -> Decision:
        """Ask for an action."""


Deed = Callable[[Live], object]

Given = Mapping[str, tuple[Value, ...]]

_NOTHING: Final[Given] = {}

JOB_ASKS: Final = "job asks"  # the subject of a call that stands for the job's asking a part


class _Walker:
    """Runs a table on the memory of whoever is being unfolded."""

    def __init__(self, table: StateTable, owner: "_Unfolded") -> None:
        self.table = table
        self.fired = 0
        self._owner = owner
        self._dest = {(row.state, row.event): row.to for row in table.rows}

    @property
    def state(self) -> str:
        return str(self._owner.image[self.table.name])

    def takes(self, event: str) -> bool:
        return (self.state, event) in self._dest

    def fire(self, event: str) -> bool:
        to = self._dest.get((self.state, event))
        if to is not None:
            self._owner.image[self.table.name] = to
        return to is not None


class _AskingJob(Job):
    """The job, with questions in the place of its counters."""

    def enough(self, cut: int) -> bool:
        # A counter stands at 1 at least, so nothing less than 1 has reached it.
        return cut >= 1 and bool(self._desk.image[LAST_PIECE])

    def more_strokes(self, stroke: int) -> bool:
        del stroke
        return bool(self._desk.image[MORE_STROKES])


class _Jumpers(set[Row]):
    """The rows that are bypassed; notes which rows it was asked for, which are those that matter."""

    def __init__(self, rows: Iterable[Row]) -> None:
        super().__init__(rows)
        self.consulted: set[Row] = set()

    def __contains__(self, row: object) -> bool:
        self.consulted.add(cast(Row, row))
        return super().__contains__(row)


class _Unfolded(Controller):
    """The live controller, with steps of machines recorded instead of made."""

    def __init__(self, bypassed: Iterable[Row], rows: Rows) -> None:
        super().__init__(Clock(), Bus(), rows=rows)
        self.jumpers = _Jumpers(bypassed)
        self.bypassed = self.jumpers
        self.machines = {
            name: _Walker(runner.table, self) for name, runner in self.machines.items()
        }
        self.ledger = Ledger(())
        self.job = _AskingJob(self)
        self.entering: Step | None = None

    def begin(self, answers: tuple[Value, ...], given: Given) -> None:
        """Start from a memory that knows nothing but what is given and these answers."""
        self.ledger = Ledger(answers, given)
        self.image = self.ledger
        self.job.cut = 0  # so none is cut but the present one, and a squaring cut is none
        self.asked = ""
        self._palms = TwoHandPair()
        self._cause = None

    def fire(self, machine: str, event: str) -> bool:
        if self._enters(machine, event):
            return super().fire(machine, event)
        return cast(bool, self.ledger.call(machine, event))  # nothing can derive from bool

    def ask(self, action: str, origin: When) -> Decision:
        if origin is When.KEY or self._enters(JOB_ASKS, action):
            return super().ask(action, origin)
        self.ledger.call(JOB_ASKS, action)
        return Decision(action, True)  # the job judges by the part's state, not by the answer

    def _enters(self, subject: str, event: str) -> bool:
        entering = self.entering == (subject, event)
        if entering:
            self.entering = None
        return entering

    def refusals(self, name: str, origin: When) -> tuple[Refusal, ...]:
        return tuple(islice(self.against(name, origin), 1))  # one is enough to refuse

    def write_outputs(self, changed: str) -> None:
        pass  # outputs follow from the states

    def explain(self, row: Reaction, told: set[Message]) -> None:
        pass  # a reason decides nothing

    def _tell(self, decision: Decision) -> None:
        pass  # what is told decides nothing

    def _timer(self, name: str, after_us: int, then: Callable[[], None]) -> None:
        pass  # that it is over is a deed of its own

    def _no_timer(self, name: str) -> None:
        pass


class Unfolder:
    """Unfolds one stretch of code after another."""

    def __init__(self, grove: Grove, bypassed: Iterable[Row] = (), rows: Rows = THE_ROWS) -> None:
        self._grove = grove
        self._controller = _Unfolded(bypassed, rows)
        self.runs = 0

    def consulted(self) -> frozenset[Row]:
        """Return the rows that decided anything in the last stretch of code."""
        return frozenset(self._controller.jumpers.consulted)

    def called(self, subject: str, event: str) -> Tree:
        """Return the tree of what a call stands for."""
        if subject == JOB_ASKS:
            deed: Deed = lambda c: c.ask(event, When.JOB)  # noqa: E731
        else:
            deed = lambda c: c.fire(subject, event)  # noqa: E731
        return self._begun(deed, (subject, event))

    def deed(self, deed: Deed, given: Given | None = None) -> Tree:
        """Return the tree of what is done to the controller.

        Args:
            deed: What is done.
            given: The values that some variables can have where it is done.
        """
        return self._begun(deed, None, given or {})

    def _begun(self, deed: Deed, entering: Step | None, given: Given = _NOTHING) -> Tree:
        self._controller.jumpers.consulted.clear()
        return self._unfold(deed, entering, (), given)

    def _unfold(
        self,
        deed: Deed,
        entering: Step | None,
        answers: tuple[Value, ...],
        given: Given,
    ) -> Tree:
        controller = self._controller
        controller.begin(answers, given)
        controller.entering = entering
        ledger = controller.ledger
        self.runs += 1
        try:
            result = deed(controller)
        except Unanswered as question:
            ops = list(ledger.ops)
            branches = {
                value: self._unfold(deed, entering, (*answers, value), given)
                for value in question.values
            }
            tail = self._grove.ask(question.name.partition(" ")[0], branches)
            return self._chain(ops, tail)
        if isinstance(result, CalledStep):
            result = TOOK if result.number == ledger.calls else None
        elif not isinstance(result, bool):
            result = None
        return self._chain(ledger.ops, self._grove.end(result))

    def _chain(self, ops: list[Op], tail: Tree) -> Tree:
        for op in reversed(ops):
            if op.kind == "put":
                tail = self._grove.put(op.name, op.value, tail)
            else:
                tail = self._grove.call(op.name, str(op.value), tail)
        return tail
