"""The controller, its operator and its plant as one model: states, moves, and where each move leads.

Every tree in it was unfolded from the live controller (see `unfold`). A move takes its edges, then
a motion whose permissive has gone is halted, then the job pursues its step until nothing changes.
The live controller works in that order.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import product
from typing import Final

from sim.control.controller import Controller
from sim.control.interlocks import THE_ROWS, Rows
from sim.kernel.clock import Clock
from sim.logic.proof.memory import DOMAINS, QUESTIONS, State, Value, tidied
from sim.logic.proof.moves import Move, MoveKind, Scope, moves
from sim.logic.proof.tree import TOOK, Ask, End, Grove, Put, Step, Tree, calls
from sim.logic.proof.unfold import Deed, Live, Row, Unfolder
from sim.signals import Bus

_MOST_MOVES = 100  # of the job in one pursuit; more than there are steps in a piece
Answers = tuple[bool, bool, bool]  # to the three questions
EVERY_ANSWER: Final[tuple[Answers, ...]] = tuple(
    (last, more, on) for last, more, on in product((False, True), repeat=3)
)


@dataclass(frozen=True, slots=True)
class Model:
    """What can happen, as trees."""

    moves: tuple[Move, ...]
    trees: dict[str, Tree]  # by name of the move
    called: dict[Step, Tree]
    keep: Tree
    advance: Tree
    initial: State
    runs: int  # of the live controller that it took to unfold it
    decides: dict[object, frozenset[Row]]  # by name or step: the interlock rows that decide in it

    def tree(self, name: str | Step) -> Tree:
        """Return the tree of a move, of a step, of `keep` or of `advance`."""
        if isinstance(name, tuple):
            return self.called[name]
        return {"keep": self.keep, "advance": self.advance}.get(name) or self.trees[name]

    def apply(self, state: State, move: Move, answers: Answers = (False, False, False)) -> State:
        """Return the state after a move that is possible."""
        memory = {**state, **dict(zip(QUESTIONS, answers, strict=True))}
        self._run(self.trees[move.name], memory)
        self._run(self.keep, memory)
        for _ in range(_MOST_MOVES):
            if not self._run(self.advance, memory):
                break
        return tidied({name: memory[name] for name in DOMAINS})

    def _run(self, tree: Tree, memory: State) -> Value:
        took: Value = False
        while not isinstance(tree, End):
            if isinstance(tree, Ask):
                tree = tree.branches[took if tree.name == TOOK else memory[tree.name]]
                continue
            if isinstance(tree, Put):
                memory[tree.name] = tree.value
            else:
                took = self._run(self.called[(tree.machine, tree.event)], memory)
            tree = tree.then
        return took if tree.result == TOOK else tree.result


def compiled(
    scope: Scope,
    bypassed: Iterable[Row] = (),
    known: Model | None = None,
    rows: Rows = THE_ROWS,
) -> Model:
    """Return the model of the live controller within a scope, with rows jumpered or not.

    Args:
        scope: How much may be out of order at one time.
        bypassed: The rows that are jumpered.
        known: A model with nothing jumpered, within any scope; what the jumpered rows do not
            decide is taken from it.
        rows: The interlock rows of the controller, those of the table or a site's own.
    """
    unfolder = Unfolder(Grove(), bypassed, rows)
    compiler = _Compiler(unfolder, frozenset(bypassed), known)
    made = moves(scope)
    trees = {
        row.name: compiler.tree(row.name, partial(_unfold_move, unfolder, row)) for row in made
    }
    keep = compiler.tree("keep", lambda: unfolder.deed(lambda c: c.keep()))
    advance = compiler.tree("advance", lambda: unfolder.deed(lambda c: c.job.advance()))
    called = _called(compiler, (*trees.values(), keep, advance))
    return Model(made, trees, called, keep, advance, initial(), unfolder.runs, compiler.decides)


class _Compiler:
    """Unfolds what is not known yet, and keeps which rows decide in it."""

    def __init__(self, unfolder: Unfolder, bypassed: frozenset[Row], known: Model | None) -> None:
        self.unfolder = unfolder
        self.decides: dict[object, frozenset[Row]] = {}
        self._bypassed = bypassed
        self._known = known

    def tree(self, name: str | Step, unfold: Callable[[], Tree]) -> Tree:
        """Return the tree of that name."""
        known = self._known
        if known is not None and name in known.decides and not known.decides[name] & self._bypassed:
            self.decides[name] = known.decides[name]
            return known.tree(name)
        tree = unfold()
        self.decides[name] = self.unfolder.consulted()
        return tree


def _unfold_move(unfolder: Unfolder, move: Move) -> Tree:
    return unfolder.deed(_deed(move), _given(move))


def _given(move: Move) -> dict[str, tuple[Value, ...]]:
    """Return the values that some variables can have where a move is possible."""
    first, *others = [dict(case) for case in move.cases]
    return {
        name: tuple(dict.fromkeys((*values, *(v for other in others for v in other[name]))))
        for name, values in first.items()
        if all(name in other for other in others)
    }


def initial() -> State:
    """Return the memory of a controller that has just been built."""
    image = Controller(Clock(), Bus()).image
    return tidied({name: image[name] for name in DOMAINS})


OVER: Final[dict[str, Deed]] = {
    "mode rests": lambda controller: controller.take_mode(),
    "deviation time": lambda controller: controller.latch_deviation(),
    "jog time": lambda controller: controller.end_jog(),
    "run-on time": lambda controller: controller.end_run_on(),
}


def _deed(move: Move) -> Deed:
    if move.kind is MoveKind.TIME:
        return OVER[move.name]

    def take(controller: Live) -> None:
        if move.first:
            controller.image["first"] = move.first
        for tag, value in move.edges:
            controller.take(tag, value)

    return take


def _called(compiler: _Compiler, trees: Sequence[Tree]) -> dict[Step, Tree]:
    found: dict[Step, Tree] = {}
    pending = [step for tree in trees for step in calls(tree)]
    while pending:
        step = pending.pop()
        if step not in found:
            found[step] = compiler.tree(step, partial(compiler.unfolder.called, *step))
            pending.extend(calls(found[step]))
    return found
