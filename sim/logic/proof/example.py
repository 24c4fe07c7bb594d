"""A counterexample: the shortest way to a forbidden state or step, move by move."""

from dataclasses import dataclass
from itertools import pairwise
from typing import Final

import numpy as np

from sim.logic.proof.compile import EVERY_ANSWER, Answers, Model
from sim.logic.proof.memory import State
from sim.logic.proof.moves import Move
from sim.logic.proof.properties import Ends, Never, NeverStep
from sim.logic.proof.search.arrays import Numbers
from sim.logic.proof.search.explore import Explorer, Reached
from sim.logic.proof.ways import Ways
from sim.words.fields import parts
from sim.words.message import Message, plain, row

# What is said of the three questions, in their order, when the answer is yes.
TURNED: Final = (
    plain("move.last-piece", "with the counter at its last piece"),
    plain("move.another-stroke", "with another stroke to make"),
    plain("move.runs-on", "with run-on minutes to come"),
)
_SENTENCE: Final = row("move.clauses", "{clauses}", clauses=parts(", "))


@dataclass(frozen=True, slots=True)
class Stride:
    """One move, what was answered to the job's questions, and the state it leads to."""

    move: Move
    answers: Answers
    state: State

    @property
    def turned(self) -> tuple[Message, ...]:
        """How the job's counters were turned for it, as clauses."""
        return tuple(words for answer, words in zip(self.answers, TURNED, strict=True) if answer)

    @property
    def clauses(self) -> Message:
        """What is done, and how the counters are turned for it."""
        return _SENTENCE(clauses=(self.move.clause, *self.turned))


@dataclass(frozen=True, slots=True)
class Example:
    """From the first state, move by move."""

    first: State
    strides: tuple[Stride, ...]

    @property
    def last(self) -> State:
        """The state that it ends in."""
        return self.strides[-1].state if self.strides else self.first


def way_to(explorer: Explorer, reached: Reached, number: int) -> Example:
    """Return a shortest way to a reached state."""
    at = next(i for i, layer in enumerate(reached.layers) if _among(number, layer))
    numbers = [number]
    for layer in reversed(reached.layers[:at]):
        numbers.append(_before(explorer, layer, numbers[-1]))
    states = [explorer.frame.state(each) for each in reversed(numbers)]
    strides = [_stride(explorer.model, a, b) for a, b in pairwise(states)]
    return Example(states[0], tuple(strides))


def breach_of(explorer: Explorer, reached: Reached, claim: Never | NeverStep) -> Example | None:
    """Return a shortest way in which a property is broken, None when it is not."""
    breach = next((found for found in reached.breaches if found.name == claim.name), None)
    if breach is None:
        return None
    way = way_to(explorer, reached, breach.number)
    if isinstance(claim, Never) or breach.move is None:
        return way
    for answers in EVERY_ANSWER:
        after = explorer.model.apply(way.last, breach.move, answers)
        if claim.broken_by(breach.move.name, way.last, after):
            return Example(way.first, (*way.strides, Stride(breach.move, answers, after)))
    raise AssertionError(f"the step does not break {claim.name!r} when it is made by itself")


def goes_on(explorer: Explorer, reached: Reached, claim: Ends, ways: Ways) -> Example | None:
    """Return a shortest way to where a move does not end what it must, None if there is none."""
    for move in (each for each in explorer.model.moves if each.name in claim.moves):
        number = ways.goes_on(claim, move, reached)
        if number is not None:
            way = way_to(explorer, reached, number)
            after = explorer.model.apply(way.last, move)
            return Example(way.first, (*way.strides, Stride(move, EVERY_ANSWER[0], after)))
    return None


def _among(number: int, layer: Numbers) -> bool:
    at = int(np.searchsorted(layer, number))
    return at < len(layer) and int(layer[at]) == number


def _before(explorer: Explorer, layer: Numbers, number: int) -> int:
    """Return the first state of a layer from which one move leads to the numbered state."""
    found = (rows[numbers == number] for rows, numbers in explorer.successors(layer))
    hits = [int(rows.min()) for rows in found if rows.size]
    if hits:
        return int(layer[min(hits)])
    raise AssertionError("a state of one layer does not follow from the last layer")


def _stride(model: Model, before: State, after: State) -> Stride:
    for move in model.moves:
        if move.possible(before):
            for answers in EVERY_ANSWER:
                if model.apply(before, move, answers) == after:
                    return Stride(move, answers, after)
    raise AssertionError("no move leads from a state to the next")
