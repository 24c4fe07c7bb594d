"""What one stretch of the controller's code does, as a tree: ask, put, call, end.

A tree is a program without loops over the variables of `memory`. Equal trees are one object, so a
question whose answers all lead to the same tree vanishes. `call` stands for one step of a machine
with all that follows from it, which has its own tree; after it, everything that a step may change
is asked afresh.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Final

from sim.logic.proof.memory import Value

TOOK: Final = "took"  # whether the last call's machine had a row for the event


@dataclass(frozen=True, slots=True, eq=False)
class Ask:
    """Go on according to the value of a variable, or of TOOK."""

    name: str
    branches: Mapping[Value, "Tree"]


@dataclass(frozen=True, slots=True, eq=False)
class Put:
    """Give a variable a value, then go on."""

    name: str
    value: Value
    then: "Tree"


@dataclass(frozen=True, slots=True, eq=False)
class Call:
    """Make a step in a machine with all that follows, then go on."""

    machine: str
    event: str
    then: "Tree"


@dataclass(frozen=True, slots=True, eq=False)
class End:
    """The stretch is over; `result` is its answer, TOOK where the last call's answer is it."""

    result: Value


Tree = Ask | Put | Call | End
Step = tuple[str, str]  # machine, event


class Grove:
    """Makes trees, each only once."""

    def __init__(self) -> None:
        self._made: dict[tuple[object, ...], Tree] = {}

    def ask(self, name: str, branches: Mapping[Value, Tree]) -> Tree:
        """Return the question, or the tree itself when every answer leads to it."""
        trees = list(branches.values())
        if all(tree is trees[0] for tree in trees):
            return trees[0]
        key = ("ask", name, *((value, id(tree)) for value, tree in branches.items()))
        return self._one(key, Ask(name, dict(branches)))

    def put(self, name: str, value: Value, then: Tree) -> Tree:
        """Return the assignment."""
        return self._one(("put", name, value, id(then)), Put(name, value, then))

    def call(self, machine: str, event: str, then: Tree) -> Tree:
        """Return the call."""
        return self._one(("call", machine, event, id(then)), Call(machine, event, then))

    def end(self, result: Value) -> Tree:
        """Return the end."""
        return self._one(("end", result), End(result))

    def _one(self, key: tuple[object, ...], tree: Tree) -> Tree:
        return self._made.setdefault(key, tree)


def nodes(tree: Tree) -> Iterator[Tree]:
    """Yield every node of a tree once."""
    seen: set[int] = set()
    pending = [tree]
    while pending:
        node = pending.pop()
        if id(node) in seen:
            continue
        seen.add(id(node))
        yield node
        if isinstance(node, Ask):
            pending.extend(node.branches.values())
        elif not isinstance(node, End):
            pending.append(node.then)


def calls(tree: Tree) -> Iterator[Step]:
    """Yield the steps that a tree calls."""
    for node in nodes(tree):
        if isinstance(node, Call):
            yield node.machine, node.event
