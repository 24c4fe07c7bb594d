"""Unfolds the live controller's code into trees, by running it on a memory that asks.

Theory. The controller is deterministic: the first thing that a stretch of its code reads is always
the same, and what it reads next depends on the answer. So the code is run with no memory at all;
at the first unanswered reading the run is broken off and repeated once for every possible answer,
until no reading is left unanswered. What came out is that code, complete, as a decision tree, and
there is no second definition of the controller that could differ from it. Steps of machines are
not entered but recorded as calls, each of which is unfolded by itself; without that the trees
would multiply with one another.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import islice
from typing import Any, Final, cast

from sim.control.controller import Controller
from sim.control.decision import Decision, Refusal
from sim.control.interlocks import Permissive, Reaction, When
from sim.control.table import StateTable
from sim.kernel.clock import Clock
from sim.logic.proof.memory import (
    DEVICES,
    DOMAINS,
    LAST_PIECE,
    MORE_STROKES,
    QUESTIONS,
    Value,
    possible,
)
from sim.logic.proof.tree import TOOK, Grove, Step, Tree
from sim.signals import Bus

Deed = Callable[[Controller], object]
Row = Permissive | Reaction

JOB_ASKS: Final = "job asks"  # the subject of a call that stands for the job's asking a station

_YES_NO: Final = (False, True)
# What no call changes.
_LASTING: Final = frozenset((*DEVICES, *QUESTIONS))


class _Unanswered(Exception):  # noqa: N818 - not an error: the run is to be repeated with an answer
    """The code read something that no answer was given for."""

    def __init__(self, name: str, values: tuple[Value, ...]) -> None:
        super().__init__(name)
        self.name = name
        self.values = values


@dataclass(frozen=True, slots=True)
class _Op:
    kind: str  # put or call
    name: str
    value: Value


class _Ledger(dict[str, Value]):
    """A memory that knows only what it was told, and writes down what is done to it."""

    def __init__(self, answers: tuple[Value, ...]) -> None:
        super().__init__()
        self._answers = answers
        self._asked = 0
        self.known: dict[str, Value] = {}
        self.ops: list[_Op] = []  # since the last answer
        self.calls = 0
        self.closing = False

    def __getitem__(self, name: str) -> Value:
        if name in self.known:
            return self.known[name]
        if name not in DOMAINS and name not in QUESTIONS:
            raise KeyError(name)
        if self.closing:
            return DOMAINS[name][0]
        return self.answer(name, DOMAINS.get(name, _YES_NO))

    def __setitem__(self, name: str, value: Value) -> None:
        if self.known.get(name) == value and name in self.known:
            return
        self.known[name] = value
        if name in DOMAINS:
            self.ops.append(_Op("put", name, value))

    def answer(self, name: str, values: tuple[Value, ...]) -> Value:
        """Return the next prepared answer.

        Raises:
            _Unanswered: There is none.
        """
        fit = tuple(value for value in values if possible(self.known, name, value))
        if len(fit) == 1:
            value = fit[0]
        elif self._asked < len(self._answers):
            value = self._answers[self._asked]
            self._asked += 1
            self.ops.clear()
        else:
            raise _Unanswered(name, fit)
        self.known[name] = value
        return value

    def call(self, machine: str, event: str) -> "_Outcome":
        """Record a step of a machine, and forget what it may change."""
        self.calls += 1
        self.ops.append(_Op("call", machine, event))
        self.known = {n: v for n, v in self.known.items() if n in _LASTING or n not in DOMAINS}
        return _Outcome(self, self.calls)


class _Outcome:
    """Whether a called step was made; asked only if the code wants to know."""

    def __init__(self, ledger: _Ledger, number: int) -> None:
        self._ledger = ledger
        self.number = number

    def __bool__(self) -> bool:
        if self._ledger.closing:
            return False
        if self.number != self._ledger.calls:
            raise RuntimeError("the outcome of a step was asked for after another step")
        return bool(self._ledger.answer(f"{TOOK} {self.number}", _YES_NO))


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


class _Counter:
    """A counter on the JOB strip whose comparison is a question.

    It stands at 1 at least, so nothing less than 1 has reached it.
    """

    def __init__(self, owner: "_Unfolded", name: str) -> None:
        self._owner = owner
        self._name = name

    def __le__(self, other: int) -> bool:
        return other >= 1 and bool(self._owner.image[self._name])

    def __gt__(self, _other: int) -> bool:
        return bool(self._owner.image[self._name])


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

    def __init__(self, bypassed: Iterable[Row]) -> None:
        super().__init__(Clock(), Bus())
        self.jumpers = _Jumpers(bypassed)
        self.bypassed = self.jumpers
        self.machines = {
            name: _Walker(runner.table, self) for name, runner in self.machines.items()
        }
        self.ledger = _Ledger(())
        self.job.wanted = cast(int, cast(Any, _Counter(self, LAST_PIECE)))
        self.job.strokes = cast(int, cast(Any, _Counter(self, MORE_STROKES)))
        self.entering: Step | None = None

    def begin(self, answers: tuple[Value, ...]) -> None:
        """Start from a memory that knows nothing but these answers."""
        self.ledger = _Ledger(answers)
        self.image = self.ledger
        self.job.cut = 0  # so none is cut but the present one, and a trim cut is none

    def fire(self, machine: str, event: str) -> bool:
        if self._enters(machine, event):
            return super().fire(machine, event)
        return cast(bool, self.ledger.call(machine, event))

    def turn(self, station: str, mode: str) -> None:
        subject = f"mode.{station}"
        if self._enters(subject, mode):
            super().turn(station, mode)
        else:
            self.ledger.call(subject, mode)

    def ask(self, action: str, origin: When) -> Decision:
        if origin is When.HAND or self._enters(JOB_ASKS, action):
            return super().ask(action, origin)
        self.ledger.call(JOB_ASKS, action)
        return Decision(action, True)  # the job judges by the station's state, not by the answer

    def _enters(self, subject: str, event: str) -> bool:
        entering = self.entering == (subject, event)
        if entering:
            self.entering = None
        return entering

    def refusals(self, name: str, origin: When) -> tuple[Refusal, ...]:
        return tuple(islice(self.against(name, origin), 1))  # one is enough to refuse

    def write_outputs(self, changed: str) -> None:
        pass  # outputs follow from the states

    def explain(self, row: Reaction) -> None:
        pass  # a reason decides nothing


class Unfolder:
    """Unfolds one stretch of code after another."""

    def __init__(self, grove: Grove, bypassed: Iterable[Row] = ()) -> None:
        self._grove = grove
        self._controller = _Unfolded(bypassed)
        self.runs = 0

    def consulted(self) -> frozenset[Row]:
        """Return the rows that decided anything in the last stretch of code."""
        return frozenset(self._controller.jumpers.consulted)

    def called(self, subject: str, event: str) -> Tree:
        """Return the tree of what a call stands for."""
        if subject == JOB_ASKS:
            deed: Deed = lambda c: c.ask(event, When.AUTO)  # noqa: E731
        elif subject.startswith("mode."):
            deed = lambda c: c.turn(subject.removeprefix("mode."), event)  # noqa: E731
        else:
            deed = lambda c: c.fire(subject, event)  # noqa: E731
        return self._begun(deed, (subject, event), ())

    def deed(self, deed: Deed, letting_go: tuple[tuple[str, bool], ...] = ()) -> Tree:
        """Return the tree of what is done to the controller.

        Args:
            deed: What is done.
            letting_go: Edges that put hands off the keys again, made when a run is broken off.
        """
        return self._begun(deed, None, letting_go)

    def _begun(
        self, deed: Deed, entering: Step | None, letting_go: tuple[tuple[str, bool], ...]
    ) -> Tree:
        self._controller.jumpers.consulted.clear()
        return self._unfold(deed, entering, (), letting_go)

    def _unfold(
        self,
        deed: Deed,
        entering: Step | None,
        answers: tuple[Value, ...],
        letting_go: tuple[tuple[str, bool], ...],
    ) -> Tree:
        controller = self._controller
        controller.begin(answers)
        controller.entering = entering
        ledger = controller.ledger
        self.runs += 1
        try:
            result = deed(controller)
        except _Unanswered as question:
            ledger.closing = True
            ops = list(ledger.ops)
            for tag, value in letting_go:
                controller.take(tag, value)
            branches = {
                value: self._unfold(deed, entering, (*answers, value), letting_go)
                for value in question.values
            }
            tail = self._grove.ask(question.name.partition(" ")[0], branches)
            return self._chain(ops, tail)
        if isinstance(result, _Outcome):
            result = TOOK if result.number == ledger.calls else None
        elif not isinstance(result, bool):
            result = None
        return self._chain(ledger.ops, self._grove.end(result))

    def _chain(self, ops: list[_Op], tail: Tree) -> Tree:
        for op in reversed(ops):
            if op.kind == "put":
                tail = self._grove.put(op.name, op.value, tail)
            else:
                tail = self._grove.call(op.name, str(op.value), tail)
        return tail
