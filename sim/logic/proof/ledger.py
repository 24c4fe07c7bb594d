"""A memory that knows only what it was told, and what is written down of a run on it.

A reading that no answer was prepared for breaks the run off (`Unanswered`).
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from sim.logic.proof.memory import APART, DEVICES, DOMAINS, QUESTIONS, Value, possible
from sim.logic.proof.tree import TOOK

_NOTHING: Final[Mapping[str, tuple[Value, ...]]] = {}
_YES_NO: Final = (False, True)
# What no call changes.
LASTING: Final = frozenset((*DEVICES, *QUESTIONS))


class Unanswered(Exception):  # noqa: N818 - not an error: the run is to be repeated with an answer
    """The code read something that no answer was given for."""

    def __init__(self, name: str, values: tuple[Value, ...]) -> None:
        super().__init__(name)
        self.name = name
        self.values = values


@dataclass(frozen=True, slots=True)
class Op:
    """One thing that a run did to its memory."""

    kind: str  # put or call
    name: str
    value: Value


class Ledger(dict[str, Value]):
    """A memory that knows only what it was told, and writes down what is done to it."""

    def __init__(
        self, answers: tuple[Value, ...], given: Mapping[str, tuple[Value, ...]] = _NOTHING
    ) -> None:
        super().__init__()
        self._answers = answers
        self._asked = 0
        self.known: dict[str, Value] = {}
        self._given = dict(given)  # what values some variables can have where the run begins
        self.ops: list[Op] = []  # since the last answer
        self.calls = 0

    def __getitem__(self, name: str) -> Value:
        if name in self.known:
            return self.known[name]
        if name not in DOMAINS and name not in QUESTIONS:
            raise KeyError(name)
        return self.answer(name, self._given.get(name) or DOMAINS.get(name, _YES_NO))

    def __setitem__(self, name: str, value: Value) -> None:
        if self.known.get(name) == value and name in self.known:
            return
        self.known[name] = value
        if name in DOMAINS:
            self.ops.append(Op("put", name, value))

    def answer(self, name: str, values: tuple[Value, ...]) -> Value:
        """Return the next prepared answer.

        Raises:
            Unanswered: There is none.
        """
        fit = values
        if name in APART:  # most are not, and this is asked more often than anything else
            fit = tuple(value for value in values if possible(self.known, name, value))
        if len(fit) == 1:
            value = fit[0]
        elif self._asked < len(self._answers):
            value = self._answers[self._asked]
            self._asked += 1
            self.ops.clear()
        else:
            raise Unanswered(name, fit)
        self.known[name] = value
        return value

    def call(self, machine: str, event: str) -> "CalledStep":
        """Record a step of a machine, and forget what it may change."""
        self.calls += 1
        self.ops.append(Op("call", machine, event))
        self.known = {n: v for n, v in self.known.items() if n in LASTING or n not in DOMAINS}
        self._given = {n: v for n, v in self._given.items() if n in LASTING}
        return CalledStep(self, self.calls)


class CalledStep:
    """Whether a called step was made; asked only if the code wants to know."""

    def __init__(self, ledger: Ledger, number: int) -> None:
        self._ledger = ledger
        self.number = number

    def __bool__(self) -> bool:
        if self.number != self._ledger.calls:
            raise RuntimeError("the outcome of a step was asked for after another step")
        return bool(self._ledger.answer(f"{TOOK} {self.number}", _YES_NO))
